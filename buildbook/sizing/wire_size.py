"""The size of each wire: the thinnest that heat, drop, fuses and terminals each ask for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from buildbook.catalogue.model import FuseFamily
from buildbook.sizing.fuse_rating import behind_a
from buildbook.sizing.heat_balance import resistance_ratio
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import (
    crank_allowed_a,
    installed_ampacity,
    sizing_installation,
    temperatures_of,
)
from buildbook.sizing.loading import Loading
from buildbook.sizing.openers import family_of
from buildbook.sizing.overcurrent import outlasts
from buildbook.sizing.unfused import near_short_a, stands_until_switched_off, unfused_short_a
from buildbook.sizing.voltage_drop import enlarge_for_drop
from buildbook.vehicle.model import Vehicle

SizeByLimit = dict[str, int]
"""Name of a limit -> place of the thinnest candidate that meets it."""


@dataclass(frozen=True)
class FuseBefore:
    """A fuse or an output that trips before a wire, and the short that it has to break there."""

    fuse: str
    family: FuseFamily
    rating_a: float
    short_a: float


def fuses_before(
    vehicle: Vehicle, loading: Loading, installation: Installation, ratings: Mapping[str, float]
) -> list[FuseBefore]:
    """Every fuse that can stand before a wire; a return takes the short behind the fuse itself."""
    near_a = near_short_a(loading, installation)
    return [
        FuseBefore(
            fuse,
            family_of(vehicle, fuse),
            ratings[fuse],
            near_a or behind_a(vehicle, loading, fuse),
        )
        for fuse in sorted(loading.protected_by[installation.wire.id])
    ]


def sizes_by_limit(
    vehicle: Vehicle, loading: Loading, installation: Installation, ratings: Mapping[str, float]
) -> SizeByLimit:
    """What heat, terminals, the smallest size and the fuses each ask of one wire."""
    demand, installation = (
        loading.wire_loads[installation.wire.id],
        sizing_installation(installation),
    )

    def cool(candidate: Candidate) -> bool:
        return (
            installed_ampacity(installation, candidate, loading.site).allowed_a >= demand.steady_a
            and crank_allowed_a(installation, candidate) >= demand.crank_a
        )

    def safe(candidate: Candidate) -> bool:
        temperatures = temperatures_of(installation, candidate, demand.steady_a, loading.site)
        return all(
            outlasts(candidate, temperatures, g.family, g.rating_a, g.short_a) for g in before
        )

    def lasts(candidate: Candidate) -> bool:
        return stands_until_switched_off(loading, installation, candidate, demand.steady_a)

    smallest_mm2 = vehicle.description.vehicle.wire.smallest.area_mm2
    least_mm2 = min(smallest_mm2, max(installation.most_mm2, installation.least_mm2))
    needs = {
        "heat": _thinnest(installation, cool),
        "terminal": installation.at_least(installation.least_mm2),
        "smallest": installation.at_least(least_mm2),
    }
    if installation.author.least_size:
        needs["author"] = installation.at_least(installation.author.least_size.area_mm2)
    before = fuses_before(vehicle, loading, installation, ratings)
    if before:
        needs["fuse"] = _thinnest(installation, safe)
    if installation.wire.id in loading.switched and unfused_short_a(loading, installation):
        lasting = _thinnest(installation, lasts)
        if lasts(installation.candidates[lasting]):  # else no size helps, and a rule says so
            needs["unfused"] = lasting
    return needs


def _thinnest(installation: Installation, fits: Callable[[Candidate], bool]) -> int:
    """Place of the thinnest candidate that fits, or of the thickest there is."""
    for i, candidate in enumerate(installation.candidates):
        if fits(candidate):
            return i
    return len(installation.candidates) - 1


def size_wires(
    vehicle: Vehicle,
    where: Mapping[str, Installation],
    loading: Loading,
    ratings: Mapping[str, float],
    warm: Mapping[str, float],
    before: Mapping[str, int],
    only_up: bool = False,
) -> tuple[dict[str, int], dict[str, SizeByLimit]]:
    """Sizes that meet every limit, and for each wire what each limit alone would ask for.

    `before` are the sizes of the round before: the drop leaves them where they are good enough,
    and with `only_up` none falls below them.
    """
    needs = {w: sizes_by_limit(vehicle, loading, p, ratings) for w, p in where.items()}
    asked = {w: max(n.values()) for w, n in needs.items()}
    sizes = {w: max(size, before[w]) for w, size in asked.items()} if only_up else asked
    ratios = {w: resistance_ratio(t) for w, t in warm.items()}
    grown = enlarge_for_drop(loading.ways, where, sizes, ratios, before)
    for wire, size in grown.items():
        if size > asked[wire]:
            needs[wire]["drop"] = size
    return grown, needs

"""What each limit alone asks of a wire, and what rating each fuse needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import FuseFamily
from buildbook.sizing.carry import carries, crank_allowed_a, heat_of, sizing_place
from buildbook.sizing.drop import enlarge_for_drop
from buildbook.sizing.fuse import needed_rating_a
from buildbook.sizing.heat import resistance_ratio
from buildbook.sizing.look import Round
from buildbook.sizing.model import Selectivity
from buildbook.sizing.place import Candidate, Place
from buildbook.sizing.selective import Fitted, judge
from buildbook.sizing.stand import outlasts
from buildbook.vehicle.model import Vehicle

Needs = dict[str, int]
"""Name of a limit -> place of the thinnest candidate that meets it."""


@dataclass(frozen=True)
class Guard:
    """A fuse before a wire, and the short circuit that it has to break there."""

    fuse: str
    family: FuseFamily
    rating_a: float
    short_a: float


def family_of(vehicle: Vehicle, fuse: str) -> FuseFamily:
    """The catalogue's family of a fuse device."""
    return fuse_families()[vehicle.devices[fuse].written.fuse]


def near_short_a(found: Round, place: Place) -> float:
    """Dead short at the end of a wire that is nearer the supply; 0 where none is ever live."""
    return max(found.shorts.at_a(end.node) for end in (place.wire.a, place.wire.b))


def guards(
    vehicle: Vehicle, found: Round, place: Place, ratings: Mapping[str, float]
) -> list[Guard]:
    """Every fuse that can stand before a wire; a return takes the short behind the fuse itself."""
    near_a = near_short_a(found, place)
    return [
        Guard(
            fuse,
            family_of(vehicle, fuse),
            ratings[fuse],
            near_a or behind_a(vehicle, found, fuse),
        )
        for fuse in sorted(found.protected_by[place.wire.id])
    ]


def behind_a(vehicle: Vehicle, found: Round, fuse: str) -> float:
    """Prospective short-circuit current just behind a fuse, A."""
    outs = [f"{b.to_pin}~" for b in vehicle.devices[fuse].bonds if b.kind == "fuse"]
    return max(found.shorts.at_a(node) for node in outs)


def wire_needs(vehicle: Vehicle, found: Round, place: Place, ratings: Mapping[str, float]) -> Needs:
    """What heat, terminals, the smallest size and the fuses each ask of one wire."""
    demand, place = found.demands[place.wire.id], sizing_place(place)

    def cool(candidate: Candidate) -> bool:
        return (
            carries(place, candidate, found.site).allowed_a >= demand.steady_a
            and crank_allowed_a(place, candidate) >= demand.crank_a
        )

    def safe(candidate: Candidate) -> bool:
        heat = heat_of(place, candidate, demand.steady_a, found.site)
        return all(outlasts(candidate, heat, g.family, g.rating_a, g.short_a) for g in before)

    smallest_mm2 = vehicle.description.vehicle.wire.smallest.area_mm2
    least_mm2 = min(smallest_mm2, max(place.most_mm2, place.least_mm2))
    needs = {
        "heat": _thinnest(place, cool),
        "terminal": place.at_least(place.least_mm2),
        "smallest": place.at_least(least_mm2),
    }
    before = guards(vehicle, found, place, ratings)
    if before:
        needs["fuse"] = _thinnest(place, safe)
    return needs


def _thinnest(place: Place, fits: Callable[[Candidate], bool]) -> int:
    """Place of the thinnest candidate that fits, or of the thickest there is."""
    for i, candidate in enumerate(place.candidates):
        if fits(candidate):
            return i
    return len(place.candidates) - 1


def all_needs(
    vehicle: Vehicle,
    where: Mapping[str, Place],
    found: Round,
    ratings: Mapping[str, float],
    warm: Mapping[str, float],
) -> tuple[dict[str, int], dict[str, Needs]]:
    """Sizes that meet every limit, and for each wire what each limit alone would ask for."""
    needs = {w: wire_needs(vehicle, found, p, ratings) for w, p in where.items()}
    sizes = {w: max(n.values()) for w, n in needs.items()}
    currents = {
        s: {w: x.current_a[f"wire:{w}"] for w in where} for s, x in found.solved.heating.items()
    }
    ratios = {w: resistance_ratio(t) for w, t in warm.items()}
    grown = enlarge_for_drop(found.paths, where, sizes, currents, ratios)
    for wire, size in grown.items():
        if size > sizes[wire]:
            needs[wire]["drop"] = size
    return grown, needs


def all_ratings(vehicle: Vehicle, where: Mapping[str, Place], found: Round) -> dict[str, float]:
    """Ratings that carry load and inrush and, where wires allow, open after the fuses below."""
    ratings = {
        fuse: vehicle.devices[fuse].written.rating
        or needed_rating_a(family_of(vehicle, fuse), load)
        for fuse, load in found.fuse_loads.items()
    }
    most = _most_ratings(vehicle, where, found)
    for _ in ratings:
        raised = {
            fuse: rating
            if vehicle.devices[fuse].written.rating
            else _selective_a(vehicle, found, fuse, ratings, most.get(fuse, rating))
            for fuse, rating in ratings.items()
        }
        if raised == ratings:
            break
        ratings = raised
    return ratings


def _selective_a(
    vehicle: Vehicle, found: Round, fuse: str, ratings: Mapping[str, float], most_a: float
) -> float:
    """The rating, or the next with which the fuse opens after all below it; as it was if none."""
    for rating in family_of(vehicle, fuse).ratings_a:
        if rating >= ratings[fuse] and (rating <= most_a or rating == ratings[fuse]):
            judged = selectivity(vehicle, found, fuse, {**ratings, fuse: rating})
            if all(s.holds for s in judged):
                return rating
    return ratings[fuse]


def selectivity(
    vehicle: Vehicle, found: Round, fuse: str, ratings: Mapping[str, float]
) -> tuple[Selectivity, ...]:
    """A fuse judged against every fuse next below it."""
    upper = Fitted(fuse, family_of(vehicle, fuse), ratings[fuse])
    loads = found.fuse_loads
    return tuple(
        judge(
            Fitted(lower, family_of(vehicle, lower), ratings[lower]),
            upper,
            max(loads[fuse].current_a - loads[lower].current_a, 0.0),
            behind_a(vehicle, found, lower),
        )
        for lower in found.below.get(fuse, ())
    )


def _most_ratings(vehicle: Vehicle, where: Mapping[str, Place], found: Round) -> dict[str, float]:
    """Largest rating of each fuse with others below it that the wires behind can be made for."""
    most: dict[str, float] = {}
    for wire, place in where.items():
        place = sizing_place(place)
        fits = [c for c in place.candidates if c.area_mm2 <= place.most_mm2]
        thickest = place.pinned or (fits or place.candidates)[-1]
        heat = heat_of(place, thickest, found.demands[wire].steady_a, found.site)
        for fuse in found.protected_by[wire] & found.below.keys():
            family = family_of(vehicle, fuse)
            able = [r for r in family.ratings_a if outlasts(thickest, heat, family, r)]
            most[fuse] = min(most.get(fuse, family.ratings_a[-1]), max(able, default=0.0))
    return most

"""How a splice is made: barrel and sleeve by the wires that it joins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from buildbook.catalogue.model import Barrel, Conductor, Sleeve
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.model import Harness, Splice, Wire
from buildbook.harness.sleeves import fitting_sleeve

OVERLAP_MM = 12.0
"""Insulation under the sleeve at each end of the barrel; bench practice, no source."""
UNDER_MM = 2 * OVERLAP_MM
"""Heat-shrink that builds a thin side up: half of it stands out, so that the outer one ends on it;
bench practice, no source."""
SOURCE = (
    "IEC 60352-2: a crimp barrel is used within the conductor section that it is made for, several "
    "conductors by their sum (memory); NASA-STD-8739.4: the sleeve grips insulation at both ends "
    "(memory)"
)


@dataclass(frozen=True)
class Joint:
    """One splice as it is crimped and sealed."""

    splice: str
    kind: str
    """'through': wires meet end to end in the barrel; 'parallel': all overlap side by side in it;
    'end': all come from one side; 'bolted': too much copper to crimp, lugs on an insulated stud."""
    near: tuple[str, ...]
    """Wires that enter at one end of the barrel, thickest first."""
    far: tuple[str, ...]
    """Wires that enter at the other; () for an end splice."""
    copper_mm2: float
    """Summed section that decides the barrel."""
    barrel: Barrel | None
    sleeve: Sleeve | None
    """Adhesive heat-shrink that goes on over the barrel and closes on the thinner side; None
    where none does both."""
    sleeve_mm: float
    """Length to cut the sleeve."""
    under: Sleeve | None = None
    """Heat-shrink that goes on the thinner side first, where the outer would not close on it."""
    thin: tuple[str, ...] = ()
    """Wires of the thinner side."""

    @property
    def under_mm(self) -> float:
        """Length to cut of the heat-shrink under the sleeve; 0 where there is none."""
        return UNDER_MM if self.under else 0.0


def joints(
    harness: Harness,
    conductors: Mapping[str, Conductor],
    barrels: Sequence[Barrel],
    sleeves: Iterable[Sleeve],
) -> dict[str, Joint]:
    """Splice id -> how it is made, for the chosen `conductors` by wire id."""
    sleeves = list(sleeves)
    found = {}
    for splice in harness.splices.values():
        wires = [harness.wires[id_] for id_ in splice.wires]
        found[splice.id] = _joint(
            splice, *_sides(splice, wires, conductors), conductors, barrels, sleeves
        )
    return found


def _away(splice: Splice, wire: Wire) -> str:
    """Run by which a wire leaves its splice; '' where it ends at the same point."""
    if not wire.runs:
        return ""
    return wire.runs[0] if wire.a.node == splice.id else wire.runs[-1]


def _sides(
    splice: Splice, wires: Sequence[Wire], conductors: Mapping[str, Conductor]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The wires of the heaviest way on, and all others; each thickest first."""
    ways: dict[str, list[str]] = {}
    for wire in sorted(wires, key=lambda w: (-conductors[w.id].area_mm2, w.id)):
        ways.setdefault(_away(splice, wire), []).append(wire.id)
    heavy = max(ways, key=lambda way: fsum(conductors[id_].area_mm2 for id_ in ways[way]))
    near = tuple(ways[heavy])
    rest = [id_ for way, ids in ways.items() if way != heavy for id_ in ids]
    far = sorted(rest, key=lambda id_: (-conductors[id_].area_mm2, id_))
    return near, tuple(far)


def _holding(barrels: Sequence[Barrel], *sections_mm2: float) -> Barrel | None:
    """The smallest barrel whose range holds every one of these sections."""
    return next(
        (
            barrel
            for barrel in barrels
            if all(barrel.smallest_mm2 <= s <= barrel.largest_mm2 for s in sections_mm2)
        ),
        None,
    )


def _joint(
    splice: Splice,
    near: tuple[str, ...],
    far: tuple[str, ...],
    conductors: Mapping[str, Conductor],
    barrels: Sequence[Barrel],
    sleeves: Sequence[Sleeve],
) -> Joint:
    one, other = (fsum(conductors[id_].area_mm2 for id_ in side) for side in (near, far))
    barrel, kind, copper = None, "bolted", one + other
    if far and (barrel := _holding(barrels, one, other)):
        kind, copper = "through", max(one, other)
    elif barrel := _holding(barrels, one + other):
        kind = "parallel" if far else "end"
    across = {
        side: bundle_diameter_mm([conductors[id_].outside_mm for id_ in side])
        for side in (near, far)
        if side
    }
    thin = min(across, key=across.__getitem__)
    if barrel is None:
        return Joint(splice.id, kind, near, far, copper, None, None, 0.0)
    under, sleeve = _sealed(across[thin], max(*across.values(), barrel.outside_mm), sleeves)
    length = barrel.length_mm + 2 * OVERLAP_MM
    return Joint(splice.id, kind, near, far, copper, barrel, sleeve, length, under, thin)


def _sealed(
    thin_mm: float, wide_mm: float, sleeves: Sequence[Sleeve]
) -> tuple[Sleeve | None, Sleeve | None]:
    """A sleeve to build the thinner side up, if need be, and the one that goes over all."""
    outer = _over(thin_mm, wide_mm, sleeves)
    under = None if outer else fitting_sleeve(sleeves, "heat-shrink", thin_mm)
    if under:
        built_mm = thin_mm + 2 * under.wall_mm
        outer = _over(built_mm, max(wide_mm, built_mm), sleeves)
    return (under if outer else None), outer


def _over(thin_mm: float, wide_mm: float, sleeves: Sequence[Sleeve]) -> Sleeve | None:
    """The tightest heat-shrink that goes on over the widest part and closes on the thinnest."""
    return fitting_sleeve([s for s in sleeves if s.smallest_mm <= thin_mm], "heat-shrink", wide_mm)

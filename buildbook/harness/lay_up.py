"""Concentric lay-up: a core and layers twisted round it, each the other way from the last."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from buildbook.harness.packing import pack

LAY_TIMES = 12.0
"""Lay length over the outside diameter of a layer; ASTM B8 allows 8 to 16 (memory)."""
GIVE = 0.03
"""How far off the core a full ring may stand, as a share of its thinnest strand: what the
insulation gives. Six round one stand 1.5 percent off it for the slant (geometry)."""
MOST_IN_CORE = 5
"""Strands that lie round nothing: six would leave room for one in the middle (geometry)."""
UNLIKE = 1.3
"""Thickest over thinnest strand from which more than five may be bunched into a core: unlike
strands leave no room for one in the middle."""
MOST_IN_BUNCH, BUNCHES = 18, 3
"""Most strands in a bunched core, and how many such cores are packed to find the best."""
BUNCH_FILL = 0.78
"""Share of a bunched core that is wire, while it is not packed yet."""
VALLEY = 2 / 3
"""Diameter of the largest strand that goes in the valleys of a core, over that of the core's
own: between two that touch in the smallest round about them (geometry)."""


@dataclass(frozen=True)
class Strand:
    """What is laid as one: a wire, or all the wires of a cable in their own twist."""

    wires: tuple[str, ...]
    diameter_mm: float


@dataclass(frozen=True)
class Layer:
    """Strands on one ring, clockwise from the top seen from the root of the harness."""

    strands: tuple[Strand, ...]
    fillers: int
    """Strands of string or scrap wire that close the ring, after the others."""
    filler_mm: float
    outside_mm: float
    pitch_mm: float
    """Diameter of the circle on which the strands' middles lie, the widest of them."""
    lay_mm: float
    """Length of one turn; 0 where nothing turns: a core of one."""
    hand: str
    """'right' or 'left', '' where nothing turns."""


@dataclass(frozen=True)
class LayUp:
    """Layers from the core outwards."""

    layers: tuple[Layer, ...]

    @property
    def outside_mm(self) -> float:
        return self.layers[-1].outside_mm if self.layers else 0.0


def take_up(lay_mm: float, pitch_diameter_mm: float) -> float:
    """Length of a strand over length of the harness: a helix, unrolled, is a hypotenuse.

    `lay_mm` is the length of one turn, `pitch_diameter_mm` that of the circle on which the
    strand's middle runs. 1 where nothing turns (`lay_mm` 0).
    """
    if lay_mm <= 0:
        return 1.0
    return math.hypot(1.0, math.pi * pitch_diameter_mm / lay_mm)


def lay_up(strands: Sequence[Strand]) -> LayUp:
    """Layers for strands given from the middle outwards.

    Tries cores of one to five, and bunches of more where the strands are unlike; takes the
    thinnest lay-up, of equals the one with the fewest fillers. A strand never lies in a layer
    further in than one before it.
    """
    return _thinnest(tuple(strands)) if strands else LayUp(())


@lru_cache(maxsize=1024)
def _thinnest(strands: tuple[Strand, ...]) -> LayUp:
    counts = [*range(1, min(MOST_IN_CORE, len(strands)) + 1), *_bunches(strands)]
    return min((_around(strands, count) for count in counts), key=_thickness)


def _thickness(found: LayUp) -> tuple[float, int]:
    return round(found.outside_mm, 6), sum(layer.fillers for layer in found.layers)


def _bunches(strands: Sequence[Strand]) -> list[int]:
    """Counts of unlike strands that, bunched as a core, promise the thinnest lay-up.

    Judged by a core of which the strands fill a certain share; none where all are alike.
    """
    diameters = [s.diameter_mm for s in strands]
    if max(diameters) < UNLIKE * min(diameters):
        return []

    def promised(count: int) -> float:
        outside = math.sqrt(sum(d * d for d in diameters[:count]) / BUNCH_FILL)
        left = strands[count:]
        while left:
            ring = _fitting(left, outside)
            outside += 2 * max(s.diameter_mm for s in left[:ring])
            left = left[ring:]
        return outside

    counts = range(MOST_IN_CORE + 1, min(MOST_IN_BUNCH, len(strands)) + 1)
    return sorted(counts, key=lambda count: (promised(count), count))[:BUNCHES]


def _around(strands: Sequence[Strand], in_core: int) -> LayUp:
    """The lay-up with a core of so many, and of those after them that lie in its valleys."""
    core = _core(strands, in_core)
    packed = pack([s.diameter_mm / 2 for s in core])
    outside = 2 * packed.radius
    pitch = 2 * max(math.hypot(x, y) for x, y in packed.centres) if in_core > 1 else 0.0
    lay = LAY_TIMES * outside if in_core > 1 else 0.0
    layers = [Layer(tuple(core), 0, 0.0, outside, pitch, lay, "right" if lay else "")]
    left = strands[len(core) :]
    while left:
        count = _fitting(left, layers[-1].outside_mm)
        layers.append(_ring(left[:count], layers[-1], count == len(left)))
        left = left[count:]
    return LayUp(tuple(layers))


def _core(strands: Sequence[Strand], in_core: int) -> Sequence[Strand]:
    """So many strands, and those after them that make their round no larger."""
    largest = max(s.diameter_mm for s in strands[:in_core])
    radius = pack([s.diameter_mm / 2 for s in strands[:in_core]]).radius
    count = in_core
    while 1 < in_core <= count < len(strands):
        if strands[count].diameter_mm > VALLEY * largest:
            break
        if pack([s.diameter_mm / 2 for s in strands[: count + 1]]).radius > radius * 1.01:
            break
        count += 1
    return strands[:count]


def _turned(diameters: Sequence[float], inside_mm: float) -> float:
    """Angle that strands take side by side on a core of this diameter, as they slant, rad."""
    outside = inside_mm + 2 * max(diameters)
    slant = take_up(LAY_TIMES * outside, outside - max(diameters))
    off = GIVE * min(diameters)

    def angle(a: float, b: float) -> float:
        ra, rb = (inside_mm + a) / 2 + off, (inside_mm + b) / 2 + off
        apart = slant * (a + b) / 2
        cosine = (ra * ra + rb * rb - apart * apart) / (2 * ra * rb)
        return math.acos(max(-1.0, min(1.0, cosine)))

    return sum(angle(a, b) for a, b in pairwise([*diameters, diameters[0]]))


def _fitting(left: Sequence[Strand], inside_mm: float) -> int:
    """How many of the next strands go side by side round a core."""
    count = 1
    while count < len(left):
        if _turned([s.diameter_mm for s in left[: count + 1]], inside_mm) > 2 * math.pi:
            break
        count += 1
    return count


def _ring(strands: Sequence[Strand], inner: Layer, last: bool) -> Layer:
    """One layer on the one inside it, with what fills a last ring that does not close."""
    diameters = [s.diameter_mm for s in strands]
    outside = inner.outside_mm + 2 * max(diameters)
    filler = min(diameters)
    fillers = 0
    while (
        last and _turned([*diameters, *[filler] * (fillers + 1)], inner.outside_mm) <= 2 * math.pi
    ):
        fillers += 1
    return Layer(
        strands=tuple(strands),
        fillers=fillers,
        filler_mm=filler if fillers else 0.0,
        outside_mm=outside,
        pitch_mm=outside - max(diameters),
        lay_mm=LAY_TIMES * outside,
        hand="left" if inner.hand == "right" else "right",
    )


@dataclass(frozen=True)
class Spot:
    """Where a strand lies in the section, mm from the middle; y upwards, no strand: a filler."""

    strand: Strand | None
    x: float
    y: float
    radius: float


def spots(found: LayUp) -> tuple[Spot, ...]:
    """Places of all strands and fillers, core first, each ring clockwise from the top."""
    places = []
    inside = 0.0
    for layer in found.layers:
        diameters = [s.diameter_mm for s in layer.strands] + [layer.filler_mm] * layer.fillers
        names = [*layer.strands, *[None] * layer.fillers]
        packed = pack([d / 2 for d in diameters]).centres if not inside else ()
        centres = packed or _on_ring(diameters, inside)
        places += [
            Spot(strand, x, y, d / 2)
            for strand, (x, y), d in zip(names, centres, diameters, strict=True)
        ]
        inside = layer.outside_mm
    return tuple(places)


def _on_ring(diameters: Sequence[float], inside_mm: float) -> tuple[tuple[float, float], ...]:
    """Centres side by side round a core, what is left of the ring shared out between them."""
    off = GIVE * min(diameters)
    reach = [(inside_mm + d) / 2 + off for d in diameters]
    steps = [
        math.acos(max(-1.0, (a * a + b * b - ((da + db) / 2) ** 2) / (2 * a * b)))
        for (a, da), (b, db) in pairwise(
            [*zip(reach, diameters, strict=True), (reach[0], diameters[0])]
        )
    ]
    spare = max(0.0, 2 * math.pi - sum(steps)) / len(steps)
    at, centres = 0.0, []
    for radius, step in zip(reach, steps, strict=True):
        centres.append((radius * math.sin(at), radius * math.cos(at)))
        at += step + spare
    return tuple(centres)

"""Concentric lay-up: a core and layers twisted round it, each the other way from the last."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from buildbook.harness.packing import enclosing, pack

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
class Seat:
    """A place in a layer that keeps its width along the trunk, whatever lies in it."""

    diameter_mm: float
    strand: Strand | None
    """None where string or scrap wire fills it, or nothing does."""
    filled: bool = False
    """With string or scrap wire, so that the round holds."""


@dataclass(frozen=True)
class Layer:
    """Seats on one ring, clockwise from the top seen from where the lay-up begins."""

    name: str
    """'core', '1', '2', … from the core outwards; 'flat' for what is led straight outside."""
    seats: tuple[Seat, ...]
    centres: tuple[tuple[float, float], ...]
    """Where the middle of each seat lies, mm from that of the harness, y upwards."""
    inside_mm: float
    """Diameter that it lies on; 0 where it lies round nothing."""
    outside_mm: float
    pitch_mm: float
    """Diameter of the circle on which the strands' middles lie, the widest of them."""
    lay_mm: float
    """Length of one turn; 0 where nothing turns: a core of one, and what is led straight."""
    hand: str
    """'right' or 'left', '' where nothing turns."""
    bunched: bool = False
    """Unlike strands laid as far in as they go, thin ones beside thick ones, not in a ring."""

    @property
    def strands(self) -> tuple[Strand, ...]:
        return tuple(seat.strand for seat in self.seats if seat.strand)

    @property
    def fillers_mm(self) -> tuple[float, ...]:
        """Diameter of every piece of string or scrap wire in it."""
        return tuple(seat.diameter_mm for seat in self.seats if seat.filled)

    @property
    def angle_deg(self) -> float:
        """Between a strand and the harness, 0 where nothing turns."""
        return math.degrees(math.atan(math.pi * self.pitch_mm / self.lay_mm)) if self.lay_mm else 0

    @property
    def take_up(self) -> float:
        """Length of a strand over length of the harness."""
        return take_up(self.lay_mm, self.pitch_mm)


@dataclass(frozen=True)
class LayUp:
    """Layers from the core outwards."""

    layers: tuple[Layer, ...]

    @property
    def strands(self) -> tuple[Strand, ...]:
        """From the middle outwards."""
        return tuple(strand for layer in self.layers for strand in layer.strands)

    @property
    def outside_mm(self) -> float:
        """Of the round that holds all of it: less than the last ring where that has gaps."""
        placed = spots(self)
        if not placed:
            return 0.0
        xy = np.array([(spot.x, spot.y) for spot in placed])
        _, radius = enclosing(xy, np.array([spot.radius for spot in placed]))
        return min(2 * radius, self.layers[-1].outside_mm)


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


def _thinnest(strands: tuple[Strand, ...]) -> LayUp:
    counts = [*range(1, min(MOST_IN_CORE, len(strands)) + 1), *_bunches(strands)]
    return min((_around(strands, count) for count in counts), key=_thickness)


_thinnest = lru_cache(maxsize=1024)(_thinnest)


def _thickness(found: LayUp) -> tuple[float, int]:
    outermost = found.layers[-1].outside_mm
    return round(outermost, 6), sum(len(layer.fillers_mm) for layer in found.layers)


def _bunches(strands: Sequence[Strand]) -> list[int]:
    """Counts of unlike strands that, bunched as a core, promise the thinnest lay-up.

    Judged by a core of which the strands fill a certain share; none where all are alike.
    """
    diameters = [s.diameter_mm for s in strands]
    if max(diameters) < UNLIKE * min(diameters):
        return []

    def promised(count: int) -> float:
        outside = math.sqrt(math.fsum(d * d for d in diameters[:count]) / BUNCH_FILL)
        left = diameters[count:]
        while left:
            ring = fitting(left, outside)
            outside += 2 * max(left[:ring])
            left = left[ring:]
        return outside

    counts = range(MOST_IN_CORE + 1, min(MOST_IN_BUNCH, len(strands)) + 1)
    return sorted(counts, key=lambda count: (promised(count), count))[:BUNCHES]


def _around(strands: Sequence[Strand], in_core: int) -> LayUp:
    """The lay-up with a core of so many, and of those after them that lie in its valleys."""
    core = _core(strands, in_core)
    layers = [core_of([Seat(s.diameter_mm, s) for s in core])]
    left = strands[len(core) :]
    while left:
        count = fitting([s.diameter_mm for s in left], layers[-1].outside_mm)
        seats = [Seat(s.diameter_mm, s) for s in left[:count]]
        if count == len(left):
            seats = closed(seats, layers[-1].outside_mm)
        layers.append(ring_of(seats, layers[-1]))
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


def turned_rad(diameters: Sequence[float], inside_mm: float) -> float:
    """Angle that strands take side by side on a core of this diameter, as they slant, rad."""
    outside = inside_mm + 2 * max(diameters)
    slant = take_up(LAY_TIMES * outside, outside - max(diameters))
    off = GIVE * min(diameters)

    def angle(a: float, b: float) -> float:
        ra, rb = (inside_mm + a) / 2 + off, (inside_mm + b) / 2 + off
        apart = slant * (a + b) / 2
        cosine = (ra * ra + rb * rb - apart * apart) / (2 * ra * rb)
        return math.acos(max(-1.0, min(1.0, cosine)))

    return math.fsum(angle(a, b) for a, b in pairwise([*diameters, diameters[0]]))


def fitting(diameters: Sequence[float], inside_mm: float) -> int:
    """How many of the next strands go side by side round a core."""
    count = 1
    while count < len(diameters):
        if turned_rad(diameters[: count + 1], inside_mm) > 2 * math.pi:
            break
        count += 1
    return count


def closed(seats: Sequence[Seat], inside_mm: float) -> list[Seat]:
    """A ring's seats with as many more, as thin as its thinnest, as the ring has room for."""
    found = list(seats)
    filler = Seat(min(seat.diameter_mm for seat in seats), None, True)
    while turned_rad([s.diameter_mm for s in (*found, filler)], inside_mm) <= 2 * math.pi:
        found.append(filler)
    return found


def core_of(seats: Sequence[Seat]) -> Layer:
    """Strands that lie round nothing: one is straight, more turn to the right."""
    packed = pack([seat.diameter_mm / 2 for seat in seats])
    outside = 2 * packed.radius
    turns = len(seats) > 1
    pitch = 2 * max(math.hypot(x, y) for x, y in packed.centres) if turns else 0.0
    lay = LAY_TIMES * outside if turns else 0.0
    hand = "right" if turns else ""
    return Layer("core", tuple(seats), packed.centres, 0.0, outside, pitch, lay, hand)


def ring_of(seats: Sequence[Seat], inner: Layer) -> Layer:
    """The next layer on the one inside it, turned the other way."""
    thickest = max(seat.diameter_mm for seat in seats)
    outside = inner.outside_mm + 2 * thickest
    return Layer(
        name=next_name(inner),
        seats=tuple(seats),
        centres=on_ring([seat.diameter_mm for seat in seats], inner.outside_mm),
        inside_mm=inner.outside_mm,
        outside_mm=outside,
        pitch_mm=outside - thickest,
        lay_mm=LAY_TIMES * outside,
        hand=other_hand(inner),
    )


def next_name(inner: Layer) -> str:
    """Of the layer on another."""
    return "1" if inner.name == "core" else str(int(inner.name) + 1)


def other_hand(inner: Layer) -> str:
    return "left" if inner.hand == "right" else "right"


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
    for layer in found.layers:
        for seat, (x, y) in zip(layer.seats, layer.centres, strict=True):
            if seat.strand:
                places.append(_resting(seat, seat.strand, x, y, layer.inside_mm))
            elif seat.filled:
                places.append(Spot(None, x, y, seat.diameter_mm / 2))
    return tuple(places)


def _resting(seat: Seat, strand: Strand, x: float, y: float, inside_mm: float) -> Spot:
    """A strand in its seat; one thinner than the seat rests on what is inside it."""
    share = 1.0
    if inside_mm:
        share -= (seat.diameter_mm - strand.diameter_mm) / 2 / math.hypot(x, y)
    return Spot(strand, share * x, share * y, strand.diameter_mm / 2)


def on_ring(diameters: Sequence[float], inside_mm: float) -> tuple[tuple[float, float], ...]:
    """Centres side by side round a core, what is left of the ring shared out between them."""
    off = GIVE * min(diameters)
    reach = [(inside_mm + d) / 2 + off for d in diameters]
    steps = [
        math.acos(max(-1.0, (a * a + b * b - ((da + db) / 2) ** 2) / (2 * a * b)))
        for (a, da), (b, db) in pairwise(
            [*zip(reach, diameters, strict=True), (reach[0], diameters[0])]
        )
    ]
    spare = max(0.0, 2 * math.pi - math.fsum(steps)) / len(steps)
    at, centres = 0.0, []
    for radius, step in zip(reach, steps, strict=True):
        centres.append((radius * math.sin(at), radius * math.cos(at)))
        at += step + spare
    return tuple(centres)

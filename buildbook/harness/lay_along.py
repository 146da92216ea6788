"""Layers along a whole line of rope: a strand keeps its layer from where it enters to its end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import combinations
from statistics import median

import networkx as nx

from buildbook.harness.bunch import bunched_on
from buildbook.harness.lay_up import (
    BUNCH_FILL,
    MOST_IN_CORE,
    Layer,
    Seat,
    Strand,
    closed,
    core_of,
    fitting,
    lay_up,
    on_ring,
    ring_of,
    turned_rad,
)
from buildbook.harness.packing import pack
from buildbook.harness.places import FLAT, LaidLayer, Laying, Place, Stay, bars, lay_up_at, seated

MOST_FLAT = 1 / 3
"""Share of a line's strands from which, led straight, the whole line is laid flat; judgement, no
source."""
FEW = 7
"""Strands up to which their round is packed to know its diameter; of more, it is reckoned."""
MOST_LOOSE = 1.3
"""Diameter of a lay-up over that of the same strands side by side from which it is not worth
having: judgement, no source."""
BUNCH_GAIN = 0.95
"""Thickness of a bunch over that of rings from which it is taken; judgement, no source."""
THICK_FIRST = (1.2, 2.0, math.inf)
"""Diameter over the middle one of a bunch's strands from which strands are tried first, before
those that stay longest: the thinnest of the bunches is taken."""


def lay_along(stays: Sequence[Stay], lengths_m: Sequence[float]) -> Laying:
    """Layers for strands that enter and leave along a line of stretches of these lengths.

    No strand goes on over the place where another comes in or out further in. Strands that can
    only lie in one layer together, and have no room in one, are led straight on the outside, as
    few as do; where too many are, or the round grows much too thick, nothing is twisted.
    """
    return _laid(tuple(stays), tuple(lengths_m))


def _laid(stays: tuple[Stay, ...], lengths_m: tuple[float, ...]) -> Laying:
    stretches = {(stay.enters, stay.leaves) for stay in stays}
    if len(stretches) == 1:
        return _all_the_way(stays)
    straight: list[Stay] = []
    while len(straight) <= MOST_FLAT * len(stays):
        twisted = [stay for stay in stays if stay not in straight]
        found, stuck = _best(twisted, lengths_m)
        if found:
            laying = Laying((*found, *_led_straight(straight, found[-1].ring)))
            loose = thickness_mm(laying, lengths_m) / _tight_mm(stays, lengths_m)
            return laying if loose <= MOST_LOOSE else Laying(())
        straight.append(_worst(stuck))
    return Laying(())


_laid = lru_cache(maxsize=1024)(_laid)


def with_more(laying: Laying, stays: Sequence[Stay]) -> Laying:
    """A lay-up that exists, and strands led straight along its outside, laid later."""
    if not laying.layers or not stays:
        return laying
    straight = [
        stay
        for layer in laying.layers
        if layer.straight
        for place in layer.places
        for stay in place.stays
    ]
    twisted = [layer for layer in laying.layers if not layer.straight]
    return Laying((*twisted, *_led_straight([*straight, *stays], twisted[-1].ring)))


def thickness_mm(laying: Laying, lengths_m: Sequence[float]) -> float:
    """Diameter of a rope of the same length and room as a line that is laid."""
    outside = [lay_up_at(laying, section).outside_mm for section in range(len(lengths_m))]
    return _even_mm([mm * mm for mm in outside], lengths_m)


def _tight_mm(stays: Sequence[Stay], lengths_m: Sequence[float]) -> float:
    """The same for its strands side by side, pulled tight."""
    held = [
        [stay.strand.diameter_mm for stay in stays if stay.enters <= section < stay.leaves]
        for section in range(len(lengths_m))
    ]
    return _even_mm([_tight_square(diameters) for diameters in held], lengths_m)


def _tight_square(diameters: Sequence[float]) -> float:
    if len(diameters) <= FEW:
        return float(2 * pack([d / 2 for d in diameters]).radius) ** 2
    return math.fsum(d * d for d in diameters) / BUNCH_FILL


def _even_mm(squares: Sequence[float], lengths_m: Sequence[float]) -> float:
    room = math.fsum(square * length for square, length in zip(squares, lengths_m, strict=True))
    return math.sqrt(room / math.fsum(lengths_m))


def _by_stay(stay: Stay) -> tuple[object, ...]:
    """Those that stay longest first, of these the thickest."""
    return -round(stay.length_m, 6), -round(stay.strand.diameter_mm, 3), stay.strand.wires


def _all_the_way(stays: Sequence[Stay]) -> Laying:
    """Strands that all run from end to end."""
    by_strand = {stay.strand: stay for stay in stays}
    found = lay_up([stay.strand for stay in sorted(stays, key=_by_stay)])
    return Laying(tuple(LaidLayer(ring, _places(ring, by_strand)) for ring in found.layers))


def _places(ring: Layer, by_strand: dict[Strand, Stay]) -> tuple[Place, ...]:
    return tuple(
        Place(seat.diameter_mm, (by_strand[seat.strand],) if seat.strand else ())
        for seat in ring.seats
    )


def _best(
    stays: Sequence[Stay], lengths_m: Sequence[float]
) -> tuple[tuple[LaidLayer, ...], tuple[Stay, ...]]:
    """The thinnest of the lay-ups with one to five strands in the core, or who found no room.

    Rings lie rounder than a bunch, which has to be thinner by a share to be taken.
    """
    units = _units(stays)
    tried = [_Filling(units, in_core) for in_core in range(1, MOST_IN_CORE + 1)]
    stuck = [one.fill() for one in tried]
    sound = [one for one in tried if one.layers and _is_clear(one.layers[0])]
    rings = [tuple(one.layers) for one, left in zip(tried, stuck, strict=True) if not left]
    rings = [layers for layers in rings if _is_clear(layers[0])]
    bunched = [layers for one in sound for layers in _bunched(one.layers, stays)]

    def thickness(layers: tuple[LaidLayer, ...]) -> tuple[float, int]:
        empty = sum(not place.stays for layer in layers for place in layer.places)
        return round(thickness_mm(Laying(layers), lengths_m), 6), empty

    ring, bunch = (min(ways, key=thickness, default=()) for ways in (rings, bunched))
    if ring and (not bunch or thickness(bunch)[0] > BUNCH_GAIN * thickness(ring)[0]):
        return ring, ()
    return bunch, next((left for left in stuck[::-1] if left), ())


def _is_clear(core: LaidLayer) -> bool:
    """Whether each strand of a core comes out without another that goes on in its way."""
    lying = list(zip(core.places, core.ring.centres, strict=True))
    return not any(bars(*one, *other) for one, other in combinations(lying, 2))


def _bunched(layers: Sequence[LaidLayer], stays: Sequence[Stay]) -> Iterable[tuple[LaidLayer, ...]]:
    """The first rings of a lay-up, and all that is left bunched on them."""
    for kept in range(1, len(layers) + 1):
        inner = tuple(layers[:kept])
        laid = {stay for layer in inner for place in layer.places for stay in place.stays}
        left = sorted((stay for stay in stays if stay not in laid), key=_by_stay)
        middle = median(stay.strand.diameter_mm for stay in left) if left else 0.0
        for order in {_thick_first(left, times * middle) for times in THICK_FIRST}:
            bunch = bunched_on(inner[-1].ring, order)
            if bunch:
                yield (*inner, bunch)


def _thick_first(stays: Sequence[Stay], from_mm: float) -> tuple[Stay, ...]:
    return tuple(sorted(stays, key=lambda stay: stay.strand.diameter_mm < from_mm))


def _worst(unit: Sequence[Stay]) -> Stay:
    """Of strands that overlap each other, the one that overlaps most; of equals the shortest."""

    def overlaps(stay: Stay) -> tuple[int, float]:
        both = (stay.keeps_inside_of(o) and o.keeps_inside_of(stay) for o in unit)
        return sum(both), -stay.length_m

    return max(unit, key=overlaps)


def _units(stays: Sequence[Stay]) -> nx.DiGraph[int]:
    """Strands that must share a layer, as the nodes of a graph; edges lead to those outside."""
    order: nx.DiGraph[int] = nx.DiGraph()
    order.add_nodes_from(range(len(stays)))
    order.add_edges_from(
        (n, m)
        for n, one in enumerate(stays)
        for m, other in enumerate(stays)
        if one.keeps_inside_of(other)
    )
    units: nx.DiGraph[int] = nx.condensation(order)
    for node in units:
        members = sorted((stays[n] for n in units.nodes[node]["members"]), key=_by_stay)
        units.nodes[node]["stays"] = tuple(members)
    return units


@dataclass
class _Filling:
    """One way to fill layers, from the core outwards."""

    units: nx.DiGraph[int]
    in_core: int
    layers: list[LaidLayer] = field(default_factory=list)

    def fill(self) -> tuple[Stay, ...]:
        """Fill the layers; gives the first strands that none had room for."""
        waiting = sorted(self.units, key=lambda unit: _by_stay(self._stays(unit)[0]))
        while waiting:
            places, taken = self._layer(waiting)
            if not taken:
                return self._stays(next(u for u in waiting if self._may_come(u, waiting)))
            waiting = [unit for unit in waiting if unit not in taken]
            self._close(places)
        return ()

    def _stays(self, unit: int) -> tuple[Stay, ...]:
        found: tuple[Stay, ...] = self.units.nodes[unit]["stays"]
        return found

    def _may_come(self, unit: int, waiting: Iterable[int]) -> bool:
        return not any(before in waiting for before in self.units.predecessors(unit))

    def _layer(self, waiting: Sequence[int]) -> tuple[list[Place], list[int]]:
        """The next layer's places, filled with as many as go, and who they are."""
        places: list[Place] = []
        taken: list[int] = []
        while True:
            left = [unit for unit in waiting if unit not in taken]
            for unit in left:
                more = seated(places, self._stays(unit))
                if self._may_come(unit, left) and self._has_room(more):
                    places = more
                    taken.append(unit)
                    break
            else:
                return places, taken

    def _has_room(self, places: Sequence[Place]) -> bool:
        if not self.layers:
            return len(places) <= self.in_core
        if len(places) == 1:
            return True
        inside = self.layers[-1].ring.outside_mm
        return turned_rad([place.diameter_mm for place in places], inside) <= 2 * math.pi

    def _close(self, places: Sequence[Place]) -> None:
        seats = [Seat(place.diameter_mm, None, True) for place in places]
        if not self.layers:
            self.layers.append(LaidLayer(core_of(seats), tuple(places)))
            return
        inner = self.layers[-1].ring
        seats = closed(seats, inner.outside_mm)
        more = [Place(seat.diameter_mm) for seat in seats[len(places) :]]
        self.layers.append(LaidLayer(ring_of(seats, inner), (*places, *more)))


def _led_straight(stays: Sequence[Stay], inner: Layer) -> list[LaidLayer]:
    """What is led straight along the outside, side by side; round it again where it is much."""
    places = seated((), sorted(stays, key=_by_stay))
    found: list[LaidLayer] = []
    while places:
        inside = found[-1].ring.outside_mm if found else inner.outside_mm
        count = fitting([place.diameter_mm for place in places], inside)
        ring = places[:count]
        thickest = max(place.diameter_mm for place in ring)
        seats = tuple(Seat(place.diameter_mm, None) for place in ring)
        outside = inside + 2 * thickest
        centres = on_ring([place.diameter_mm for place in ring], inside)
        layer = Layer(FLAT, seats, centres, inside, outside, outside - thickest, 0.0, "")
        found.append(LaidLayer(layer, tuple(ring)))
        places = places[count:]
    return found

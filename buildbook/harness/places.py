"""Who lies where along a whole line of rope: strands, the seats that they keep, and the layers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from buildbook.harness.lay_up import MOST_IN_CORE, Layer, LayUp, Seat, Strand, core_of

BEYOND = 0.25
"""Share of a strand's width that it stands out farther than another, from which it covers that
one's way out; judgement, no source."""
NEAR_MM = 1e-6
CLEAR = 0.9
"""Share of two strands' width that must lie between the middle of one and the way out of the
other; insulation gives a little (judgement, no source)."""
FLAT = "flat"
"""Name of what is led straight along the outside."""
FULL_ENOUGH = 0.5
"""Share of an outermost ring's seats with strands from which its gaps are filled; judgement, no
source."""


@dataclass(frozen=True)
class Stay:
    """A strand and the stations of a line between which it lies in it."""

    strand: Strand
    enters: int
    leaves: int
    length_m: float

    def passes(self, station: int) -> bool:
        return self.enters < station < self.leaves

    def meets(self, other: Stay) -> bool:
        return self.enters < other.leaves and other.enters < self.leaves

    def keeps_inside_of(self, other: Stay) -> bool:
        """Whether it goes on where the other comes in or out, so that it may not lie over it."""
        return self.passes(other.enters) or self.passes(other.leaves)


@dataclass(frozen=True)
class Place:
    """A seat of a layer along the whole line, and who lies in it one after the other."""

    diameter_mm: float
    stays: tuple[Stay, ...] = ()

    def at(self, section: int) -> Stay | None:
        return next((s for s in self.stays if s.enters <= section < s.leaves), None)


@dataclass(frozen=True)
class LaidLayer:
    """One layer along the whole line: its ring as it is when every seat is taken."""

    ring: Layer
    places: tuple[Place, ...]
    """In the order of the ring's seats."""

    @property
    def straight(self) -> bool:
        """Whether it is led along the outside, not twisted round it."""
        return self.ring.name == FLAT

    def holds(self, section: int) -> bool:
        return any(place.at(section) for place in self.places)


@dataclass(frozen=True)
class Laying:
    """How one line is laid: layers from the core outwards, then what is led straight."""

    layers: tuple[LaidLayer, ...]
    """None of them where the line cannot be laid in layers and is laid flat."""


def seated(places: Sequence[Place], stays: Iterable[Stay]) -> list[Place]:
    """The places with more strands: where one has left or is yet to come, else in a new one."""
    found = list(places)
    for stay in stays:
        free = [n for n, place in enumerate(found) if not any(s.meets(stay) for s in place.stays)]
        width = stay.strand.diameter_mm
        if free:
            n = min(free, key=lambda n: abs(found[n].diameter_mm - width))
            widest = max(found[n].diameter_mm, width)
            found[n] = Place(widest, (*found[n].stays, stay))
        else:
            found.append(Place(width, (stay,)))
    return found


def lay_up_at(laying: Laying, section: int) -> LayUp:
    """The layers of one stretch of a line: `section` counts its runs from 0.

    A seat that nobody lies in is filled where a strand is twisted over it, and in the outermost
    ring where that is half taken. Up to five strands with nothing inside them lie round nothing.
    No layers where all that is left is led straight.
    """
    held = [n for n, layer in enumerate(laying.layers) if layer.holds(section)]
    twisted = [n for n in held if not laying.layers[n].straight]
    if not twisted:
        return LayUp(())
    inner = laying.layers[held[0]]
    if held == twisted[:1] and (alone := _round_nothing(inner, section)):
        return LayUp((alone,))
    shown = laying.layers[: held[-1] + 1]
    return LayUp(tuple(_at(layer, section, n < twisted[-1]) for n, layer in enumerate(shown)))


def _stays_at(layer: LaidLayer, section: int) -> list[Stay]:
    return [stay for place in layer.places if (stay := place.at(section))]


def _round_nothing(layer: LaidLayer, section: int) -> Layer | None:
    """A few strands of a layer where nothing else is left: they twist round each other.

    None where they are many, or one of them would then lie over the way out of another.
    """
    stays = _stays_at(layer, section)
    if len(stays) > MOST_IN_CORE:
        return None
    core = core_of([Seat(stay.strand.diameter_mm, stay.strand) for stay in stays])
    places = [Place(stay.strand.diameter_mm, (stay,)) for stay in stays]
    lying = zip(places, core.centres, strict=True)
    if any(bars(*one, *other) for one, other in combinations(lying, 2)):
        return None
    return replace(core, name=layer.ring.name, lay_mm=layer.ring.lay_mm, hand=layer.ring.hand)


def _at(layer: LaidLayer, section: int, covered: bool) -> Layer:
    """A layer with who lies in its seats in one stretch."""
    taken = len(_stays_at(layer, section))
    fill = not (layer.straight or layer.ring.bunched) and (
        covered or taken >= FULL_ENOUGH * len(layer.places)
    )
    seats = []
    for place in layer.places:
        stay = place.at(section)
        seats.append(Seat(place.diameter_mm, stay.strand if stay else None, fill and stay is None))
    return replace(layer.ring, seats=tuple(seats))


Spot = tuple[float, float]
"""Where the middle of a seat lies, mm from that of the harness."""


def bars(one: Place, at: Spot, other: Place, there: Spot) -> bool:
    """Whether a strand of one goes on straight outside of where one of the other comes in or out.

    Either way round.
    """
    return _over(one, at, other, there) or _over(other, there, one, at)


def _over(outer: Place, at: Spot, inner: Place, there: Spot) -> bool:
    (x, y), (u, v) = at, there
    away = math.hypot(u, v)
    beyond = math.hypot(x, y) + outer.diameter_mm / 2 - away - inner.diameter_mm / 2
    if math.hypot(x, y) <= away + NEAR_MM or beyond <= BEYOND * outer.diameter_mm:
        return False
    if away > NEAR_MM and x * u + y * v <= 0:
        return False
    if (
        away > NEAR_MM
        and abs(x * v - y * u) / away >= CLEAR * (outer.diameter_mm + inner.diameter_mm) / 2
    ):
        return False
    return any(stay.keeps_inside_of(left) for stay in outer.stays for left in inner.stays)

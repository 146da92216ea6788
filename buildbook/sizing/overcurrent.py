"""Whether a wire outlasts its fuse: at every current between its rating and a dead short."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from buildbook.catalogue.model import FuseFamily
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.installation import Candidate
from buildbook.sizing.opening_time import slowest_s, surely_opens_a
from buildbook.sizing.transient_heating import time_to_s

STEPS = 12
"""Currents looked at between two points of a band. Each is held against the time of the one
before it, which is longer, so that nothing between them is missed."""
HALVINGS = 16
"""Of the ratings between none and what the wire carries for ever: the rating found is one that
the wire outlasts, and misses the largest by at most 1 / 65536 of the highest."""


ANY_A = 10_000.0
"""Stands for any fuse there is."""


@dataclass(frozen=True)
class Temperatures:
    """The air round a wire and the temperature at which its load keeps the copper, degC."""

    ambient_c: float
    start_c: float


@dataclass(frozen=True)
class LargestFuse:
    """The largest rating that a wire outlasts, and the overcurrent at which it is decided."""

    rating_a: float
    multiple: float
    """Overcurrent as a multiple of the rating."""
    opens_s: float
    """Slowest opening there; infinite where the fuse may hold for ever."""

    @property
    def harms_a(self) -> float:
        """Current that harms the wire in that time."""
        return self.rating_a * self.multiple


def overcurrents(fuse: FuseFamily, top: float) -> Iterator[tuple[float, float]]:
    """(multiple of the rating, longest time that it may flow, s) from sure opening up to `top`."""
    points = [multiple for multiple, _, longest in fuse.bands if longest is not None]
    marks = [
        low * (high / low) ** (step / STEPS)
        for low, high in zip(points, points[1:], strict=False)
        for step in range(STEPS)
    ]
    marks = [m for m in (*marks, points[-1]) if m < top]
    if not marks:
        return
    for low, high in zip(marks, [*marks[1:], top], strict=True):
        if low < points[-1]:
            yield high, slowest_s(fuse, 1.0, low)
        else:
            yield high, slowest_s(fuse, 1.0, high)


def fails_at(
    candidate: Candidate,
    temperatures: Temperatures,
    fuse: FuseFamily,
    rating_a: float,
    prospective_a: float = math.inf,
) -> tuple[float, float] | None:
    """The first overcurrent that harms the insulation before the fuse has opened, or None.

    As (multiple of the rating, longest time that it may flow, s). No current is above
    `prospective_a`, a dead short. One overloaded wire among cool ones sheds heat at least as well
    as alone, so the bundle does not count here.
    """
    conductor, insulation = candidate.conductor, candidate.family
    held_a = min(surely_opens_a(fuse, rating_a), prospective_a)
    if held_a > free_air_a(conductor, insulation.aging_c, temperatures.ambient_c) * (1 + 1e-9):
        return held_a / rating_a, math.inf
    top = min(prospective_a / rating_a, 10 * fuse.bands[-1][0])
    for multiple, longest in overcurrents(fuse, top):
        amps = multiple * rating_a
        harmed_s = time_to_s(
            conductor, amps, insulation.overload_c, temperatures.ambient_c, temperatures.start_c
        )
        if harmed_s < longest:
            return multiple, longest
    return None


def outlasts(
    candidate: Candidate,
    temperatures: Temperatures,
    fuse: FuseFamily,
    rating_a: float,
    prospective_a: float = math.inf,
) -> bool:
    """Whether the fuse opens before the insulation is harmed, at every overcurrent.

    Most wires outlast a short of any size; only the others are asked about the one there.
    """
    if _outlasts_any(candidate, temperatures, _Bands(fuse), rating_a):
        return True
    found = fails_at(candidate, temperatures, fuse, rating_a, prospective_a)
    return math.isfinite(prospective_a) and found is None


def largest_fuse(
    candidate: Candidate,
    temperatures: Temperatures,
    fuse: FuseFamily,
    prospective_a: float = math.inf,
) -> LargestFuse:
    """Largest rating, standard or not, that the wire outlasts at every overcurrent.

    `ANY_A` where not even a dead short, for ever, harms it.
    """
    return _largest_fuse(candidate, temperatures, _Bands(fuse), prospective_a)


@dataclass(frozen=True)
class _Bands:
    """A fuse family that is told from others by its id, so that it can be remembered by."""

    family: FuseFamily

    def __hash__(self) -> int:
        return hash(self.family.id)


def _outlasts_any(
    candidate: Candidate, temperatures: Temperatures, fuse: _Bands, rating_a: float
) -> bool:
    return fails_at(candidate, temperatures, fuse.family, rating_a) is None


_outlasts_any = lru_cache(maxsize=20000)(_outlasts_any)


def _largest_fuse(
    candidate: Candidate, temperatures: Temperatures, fuse: _Bands, prospective_a: float
) -> LargestFuse:
    family = fuse.family
    first = surely_opens_a(family, 1.0)
    held_a = free_air_a(candidate.conductor, candidate.family.aging_c, temperatures.ambient_c)
    if held_a >= prospective_a:
        return LargestFuse(ANY_A, prospective_a / ANY_A, math.inf)
    low, high, failing = 0.0, held_a / first, (first, math.inf)
    if not high or outlasts(candidate, temperatures, family, high, prospective_a):
        return LargestFuse(high, *failing)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        found = fails_at(candidate, temperatures, family, middle, prospective_a)
        if found is None:
            low = middle
        else:
            high, failing = middle, found
    return LargestFuse(low, *failing)


_largest_fuse = lru_cache(maxsize=20000)(_largest_fuse)

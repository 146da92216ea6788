"""Selectivity: whether only the fuse nearest a fault opens, and not the one above it too."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.catalogue.model import FuseFamily
from buildbook.electrical.network import inside
from buildbook.sizing.model import Selectivity
from buildbook.sizing.openers import openers
from buildbook.sizing.opening_time import fastest_s, slowest_s, surely_opens_a
from buildbook.sizing.short_circuit_current import ShortCircuits
from buildbook.vehicle.model import Vehicle

STEPS = 6
"""Currents looked at between two points of either band."""


@dataclass(frozen=True)
class FittedFuse:
    """A fuse in its place: family and rating."""

    id: str
    family: FuseFamily
    rating_a: float


def judge_selectivity(
    lower: FittedFuse, upper: FittedFuse, others_a: float, prospective_a: float
) -> Selectivity:
    """Hold the lower's slowest side against the upper's fastest at every fault that it clears.

    That is from where the lower is sure to open up to a dead short. `others_a` is what the upper
    carries besides. The current told is that of the first failure, or where none fails the one
    at which the two times are nearest.
    """
    nearest, reported = (
        math.inf,
        Selectivity(upper.id, lower.id, True, prospective_a, 0.0, math.inf),
    )
    for fault_a in _faults(lower, upper, prospective_a):
        slow = slowest_s(lower.family, lower.rating_a, fault_a)
        fast = fastest_s(upper.family, upper.rating_a, fault_a + others_a)
        if math.isinf(fast):
            continue
        found = Selectivity(upper.id, lower.id, slow < fast, fault_a, slow, fast)
        if not found.holds:
            return found
        if fast / slow < nearest:
            nearest, reported = fast / slow, found
    return reported


def _faults(lower: FittedFuse, upper: FittedFuse, prospective_a: float) -> Iterator[float]:
    """Fault currents from sure opening of the lower fuse up to a dead short."""
    opens_a = surely_opens_a(lower.family, lower.rating_a)
    if prospective_a < opens_a:
        return
    marks = {
        fuse.rating_a * multiple for fuse in (lower, upper) for multiple, _, _ in fuse.family.bands
    }
    ends = [opens_a, *sorted(m for m in marks if opens_a < m < prospective_a), prospective_a]
    for low, high in zip(ends, ends[1:], strict=False):
        yield from (low * (high / low) ** (step / STEPS) for step in range(STEPS))
    yield prospective_a


def pairs(vehicle: Vehicle, found: ShortCircuits) -> frozenset[tuple[str, str]]:
    """(lower, upper) fuses and outputs that follow each other on the way of a short circuit."""
    pairs = set()
    for opener in openers(vehicle).values():
        for ends in opener.ends:
            live = [n for n in (inside(pin) for pin in ends) if n in found.ohms]
            if live:
                upper = found.last_fuse[min(live, key=lambda n: found.ohms[n])]
                pairs |= {(opener.id, upper)} if upper else set()
    return frozenset(pairs)

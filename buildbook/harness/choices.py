"""In which harness a circuit runs where several would do, and what the others would be like."""

from __future__ import annotations

from buildbook.description.move.layout import CROSSING_M
from buildbook.harness.all_routes import cap_point, closed_to
from buildbook.harness.rope import Rope
from buildbook.harness.route import Way, ways_of
from buildbook.vehicle.model import Circuit, Vehicle

SAME_M = 1e-6
"""Lengths that differ by less are the same but for rounding."""


def ways(vehicle: Vehicle, rope: Rope, circuit: Circuit) -> tuple[Way, ...]:
    """The way that a circuit takes, then those of other harnesses, each with its key.

    Empty where no way joins its ends. A pass-through without a free contact is not known here.
    """
    closed = closed_to(vehicle, circuit)
    found = ways_of(vehicle, rope, circuit, cap_point(vehicle, rope, circuit), closed)
    said = circuit.written.harness
    first = sorted(found, key=lambda way: bool(said) and way.harness != said)
    unlike: dict[tuple[tuple[str, ...], tuple[str, ...]], Way] = {}
    for way in first:
        unlike.setdefault((way.harnesses, way.route.throughs), way)
    return tuple(unlike.values())


def spares_a_contact(taken: Way, other: Way) -> bool:
    """Whether another way needs fewer contacts of pass-throughs, for little more rope.

    Little: it would be taken if a crossing counted for twice as much as it does.
    """
    spared = len(taken.route.throughs) - len(other.route.throughs)
    return spared > 0 and other.rope_m - taken.rope_m <= 2 * CROSSING_M * spared


def is_as_long(taken: Way, other: Way) -> bool:
    """Whether only the order of the description decided between two ways."""
    return abs(taken.counted_m - other.counted_m) < SAME_M

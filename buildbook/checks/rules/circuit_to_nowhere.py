"""Finds circuits that go nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed

RULE = "circuit-to-nowhere"
SEVERITY = "error"
SOURCE = "this description: a circuit joins two pins, or says where its spare end lies (capped at)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A circuit of one pin is a loose end unless it says where it is capped."""
    for circuit in assessed.vehicle.circuits.values():
        if len(circuit.pins) > 1 or circuit.is_screen or circuit.written.capped_at:
            continue
        pins = ", ".join(pin.id for pin in circuit.pins) or "nothing"
        yield Finding(
            RULE,
            "error",
            circuit.id,
            f"The circuit '{circuit.id}' joins {pins} and goes nowhere.",
            "Name its other end under `join`, or write `status: spare` and `capped at` with the "
            "point where it ends, insulated.",
            SOURCE,
            circuit.where,
        )

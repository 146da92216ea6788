"""Finds circuits that go nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "circuit-to-nowhere"
SEVERITY = "error"
SOURCE = "this description: a circuit joins two pins, or says where its spare end lies (capped at)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A circuit of one pin is a loose end unless it says where it is capped."""
    for circuit in assessed.vehicle.circuits.values():
        if len(circuit.pins) > 1 or circuit.is_screen or circuit.written.capped_at:
            continue
        pins = ", ".join(pin.id for pin in circuit.pins)
        yield Finding(
            RULE,
            "error",
            circuit.id,
            say(
                "The circuit '{circuit}' joins {pins} and goes nowhere.",
                circuit=circuit.id,
                pins=pins,
            )
            if pins
            else say("The circuit '{circuit}' joins nothing and goes nowhere.", circuit=circuit.id),
            say(
                "Name its other end under `join`, or write `status: spare` and `capped "
                "at` with the point where it ends, insulated."
            ),
            SOURCE,
            circuit.where,
        )

"""Finds a way that the author measured, and that no wire takes: rope measures them all."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.model import Circuit
from buildbook.words.say import say

RULE = "way-unused"
SEVERITY = "warning"
SOURCE = "the description: `way` is for wires between two things at one place, along no rope"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each `way` of a circuit, or of the wires at one of its pins."""
    for circuit in assessed.vehicle.circuits.values():
        taken = _without_rope(assessed, circuit)
        ways = {pin: lead.way for pin, lead in circuit.written.wires.items() if lead.way}
        unused = {pin: way for pin, way in ways.items() if pin not in taken}
        if circuit.written.way and not taken:
            unused[""] = circuit.written.way
        for pin, way in unused.items():
            said = {"way": length(way), "circuit": circuit.id}
            yield Finding(
                RULE,
                SEVERITY,
                circuit.id,
                say(
                    "The way of {way} that is written for {circuit} at {pin} measures nothing: its "
                    "wires lie along the rope, which says how long they are.",
                    pin=pin,
                    **said,
                )
                if pin
                else say(
                    "The way of {way} that is written for {circuit} measures nothing: its wires "
                    "lie along the rope, which says how long they are.",
                    **said,
                ),
                say("Take `way` out, or give the two things the same point of the rope."),
                SOURCE,
                circuit.where,
            )


def _without_rope(assessed: Assessed, circuit: Circuit) -> set[str]:
    """Ends of a circuit's wires that lie along no rope."""
    return {
        end.node
        for wire in assessed.harness.wires.values()
        if wire.circuit == circuit.id and not wire.runs
        for end in (wire.a, wire.b)
    }

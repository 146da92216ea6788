"""Finds CAN branches that are too long."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.bus_wire import bus_wire
from buildbook.checks.model import Finding
from buildbook.checks.naming import named
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.harness.model import Wire
from buildbook.vehicle.bus import LONGEST_STUB_M, can_pairs, terminators
from buildbook.vehicle.model import Circuit, Pin
from buildbook.words.say import say

RULE = "can-stub"
SEVERITY = "warning"
SOURCE = "ISO 11898-2: a branch off the line is at most 0.3 m at 1 Mbit/s (from memory)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Measure from each device to the wire between the two that have terminating resistors.

    One that lies beyond an end is no branch: there the resistor is in the wrong place.
    """
    for name, high, low in can_pairs(assessed.vehicle):
        ends = sorted({load.device for load in terminators(assessed.vehicle, high, low)})
        line = bus_wire(assessed, high)
        for pin in high.pins:
            device = pin.device
            if len(ends) != 2 or device in ends or not line.reaches(device, *ends):
                continue
            branch_m = line.stub_m(device, *ends)
            if branch_m <= LONGEST_STUB_M or line.furthest_past(device, *ends)[0] > LONGEST_STUB_M:
                continue
            yield Finding(
                RULE,
                "warning",
                pin.id,
                say(
                    "The branch of {name} to {device} is {branch_m} long and not "
                    "terminated; {longest_stub_m} are allowed.",
                    name=name,
                    device=named(assessed.vehicle, device),
                    branch_m=length(branch_m),
                    longest_stub_m=length(LONGEST_STUB_M),
                ),
                _remedy(assessed, high, pin),
                SOURCE,
                high.where,
            )


def _remedy(assessed: Assessed, circuit: Circuit, pin: Pin) -> str:
    """A splice that is at the device already can come no closer by its point."""
    if any(_is_short(assessed.harness.wires[w]) for w in assessed.harness.wire_at.get(pin.id, ())):
        return say(
            "The splice is at {device} already: make the wire between them shorter, and write "
            "how long it is (`wires` of '{circuit}', `way` of {pin}); or run the line through "
            "the device, or run the bus slower: at 500 kbit/s twice as much is safe.",
            device=pin.device,
            circuit=circuit.id,
            pin=pin.id,
        )
    return say(
        "Put the splice closer to {device} (splice at), run the line through "
        "it, or run the bus slower: at 500 kbit/s twice as much is safe.",
        device=pin.device,
    )


def _is_short(wire: Wire) -> bool:
    """Whether it goes from a pin to a splice at the same place."""
    return wire.a.point == wire.b.point and "splice" in (wire.a.kind, wire.b.kind)

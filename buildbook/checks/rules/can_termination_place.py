"""Finds CAN buses whose terminating resistors do not sit at the ends of the line."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.bus_wire import bus_wire
from buildbook.checks.model import Finding
from buildbook.checks.naming import named
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.bus import LONGEST_STUB_M, can_pairs, terminators

RULE = "can-termination-place"
SEVERITY = "warning"
SOURCE = "ISO 11898-2: one resistor at each end of the line, none in between (from memory)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the wire between the two resistors with that to every device beyond them."""
    for name, high, low in can_pairs(assessed.vehicle):
        ends = sorted({load.device for load in terminators(assessed.vehicle, high, low)})
        line = bus_wire(assessed, high)
        others = sorted(line.apart_m.keys() - set(ends)) if len(ends) == 2 else []
        found = [
            (*line.furthest_past(device, *ends), device)
            for device in others
            if line.reaches(device, *ends)
        ]
        past_m, end, far, device = max(found, default=(0.0, "", "", ""))
        if past_m > LONGEST_STUB_M:
            yield Finding(
                RULE,
                "warning",
                name,
                f"On the CAN pair {name}, {named(assessed.vehicle, device)} is "
                f"{length(line.apart_m[device][far])} of wire away from "
                f"{named(assessed.vehicle, far)}, and {named(assessed.vehicle, end)}, which has "
                "the terminating resistor, only "
                f"{length(line.apart_m[end][far])}: the line goes on past its resistor by "
                f"{length(past_m)}, where {length(LONGEST_STUB_M)} are allowed.",
                f"Move the resistor from {end} to {device}, or lead the line so that {end} comes "
                "last.",
                SOURCE,
                high.where,
            )

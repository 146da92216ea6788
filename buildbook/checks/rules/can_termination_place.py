"""Finds CAN buses whose terminating resistors do not sit at the ends of the line."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.bus_wire import bus_wire
from buildbook.checks.model import Finding
from buildbook.checks.naming import named
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.bus import LONGEST_STUB_M, can_pairs, terminators
from buildbook.words.say import say

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
                say(
                    "On the CAN pair {name}, {device} is {apart_m} of wire away from "
                    "{far}, and {end}, which has the terminating resistor, only "
                    "{end_m}: the line goes on past its resistor by {past_m}, where "
                    "{longest_stub_m} are allowed.",
                    name=name,
                    device=named(assessed.vehicle, device),
                    apart_m=length(line.apart_m[device][far]),
                    far=named(assessed.vehicle, far),
                    end=named(assessed.vehicle, end),
                    end_m=length(line.apart_m[end][far]),
                    past_m=length(past_m),
                    longest_stub_m=length(LONGEST_STUB_M),
                ),
                say(
                    "Move the resistor from {end} to {device}, or lead the line so that "
                    "{end} comes last.",
                    end=end,
                    device=device,
                ),
                SOURCE,
                high.where,
            )

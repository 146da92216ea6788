"""Finds CAN pairs without exactly two terminating resistors."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.figures import counted
from buildbook.vehicle.bus import can_pairs, terminators

RULE = "can-termination"
SEVERITY = "error"
SOURCE = "ISO 11898-2: 120 ohm at each end of the line (from memory: 100 to 130 ohm)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Count resistors between the two circuits of each twisted pair that is a CAN bus."""
    for name, high, low in can_pairs(assessed.vehicle):
        loads = terminators(assessed.vehicle, high, low)
        ends = [called(assessed.vehicle.devices[x.device].title, x.id) for x in loads]
        if len(ends) != 2:
            yield Finding(
                RULE,
                "error",
                name,
                f"The CAN pair {name} has {counted(len(ends), 'terminating resistor')}"
                f"{' (' + ', '.join(ends) + ')' if ends else ''}; it needs two of 120 ohm.",
                "Fit one at each end of the line and none in between: with all unplugged from "
                "power, a meter across the pair reads 60 ohm.",
                SOURCE,
                high.where,
            )

"""Finds CAN pairs without exactly two terminating resistors."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.vehicle.bus import can_pairs, terminators
from buildbook.words.say import say, say_n

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
                say_n(
                    "The CAN pair {pair} has {n} terminating resistor ({ends}); it needs two of "
                    "120 ohm.",
                    "The CAN pair {pair} has {n} terminating resistors ({ends}); it needs two of "
                    "120 ohm.",
                    len(ends),
                    pair=name,
                    ends=", ".join(ends),
                )
                if ends
                else say(
                    "The CAN pair {pair} has no terminating resistors; it needs two of 120 ohm.",
                    pair=name,
                ),
                say(
                    "Fit one at each end of the line and none in between: with all "
                    "unplugged from power, a meter across the pair reads 60 ohm."
                ),
                SOURCE,
                high.where,
            )

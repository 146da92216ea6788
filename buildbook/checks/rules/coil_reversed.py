"""Finds relay coils with a diode that are fed the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import across
from buildbook.words.say import say

RULE = "coil-reversed"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: with a diode across the coil, 86 goes to plus (DIN 72552 for the numbers)"
MOST_V = 1.0
"""More than this the wrong way round, and the diode conducts."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare 86 with 85 in every state."""
    for relay in assessed.vehicle.all_of("relay"):
        coil = relay.written.coil
        if coil is None or coil.suppressed != "diode":
            continue
        for state, solution in assessed.solved.meter.items():
            volts = across(solution, f"{relay.id}.85", f"{relay.id}.86")
            if volts > MOST_V:
                yield Finding(
                    RULE,
                    "error",
                    relay.id,
                    say(
                        "The coil of {relay} has a diode across it and is fed the wrong way "
                        "round: 85 is {volts:.1f} V above 86 in '{state}'.",
                        relay=called(relay.title, relay.id),
                        volts=volts,
                        state=state,
                    ),
                    say(
                        "Swap the wires of 85 and 86, or the diode burns and takes the fuse along."
                    ),
                    SOURCE,
                    relay.where,
                )
                break

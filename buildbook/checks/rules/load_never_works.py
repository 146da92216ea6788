"""Finds loads that work in none of the states in which they should."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.buzzing import buzzes_in
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import volts_while_on
from buildbook.words.say import say

RULE = "load-never-works"
SEVERITY = "error"
SOURCE = "this description: its states and what closes in them"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the best voltage over its states with what the load works from.

    The coil of a relay that buzzes has no voltage to compare: that has a rule of its own.
    """
    for device, load in loads(assessed.vehicle):
        needed = load.working_v
        if needed <= 0 or buzzes_in(device, assessed.solved):
            continue
        states = [s for s in assessed.vehicle.states if s in load.states]
        best = max(
            (volts_while_on(assessed.solved.meter[s], load) for s in states),
            default=0.0,
        )
        if best < needed:
            yield Finding(
                RULE,
                "error",
                load.id,
                say(
                    "{device} works in no state: it never has more than {best:.2f} V and "
                    "works from {needed:.2f} V.",
                    device=called(device.title, load.id),
                    best=best,
                    needed=needed,
                ),
                say(
                    "See that its feed and ground are joined and that a state closes what "
                    "switches it."
                ),
                SOURCE,
                device.where,
            )

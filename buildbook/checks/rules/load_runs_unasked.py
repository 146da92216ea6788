"""Finds loads that run in a state in which they are not meant to."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.questions import loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import volts_while_on
from buildbook.figures import decimals
from buildbook.sizing.drop_allowance import is_signal
from buildbook.words.say import say

RULE = "load-runs-unasked"
SEVERITY = "warning"
SOURCE = "this description: the states that a draw names (in), and what closes in them"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each load once, with all the states; what only carries information runs nothing.

    Electronics, and what makes its own pulses, draw in their states alone.
    """
    for device, load in loads(assessed.vehicle):
        starts_itself = load.control or load.pulses_itself
        if load.working_v <= 0 or starts_itself or is_signal(assessed.vehicle, load):
            continue
        volts = {
            state: volts_while_on(solution, load)
            for state, solution in assessed.solved.meter.items()
            if state not in load.states
        }
        runs = [state for state, reached in volts.items() if reached >= load.working_v]
        if not runs:
            continue
        states = quoted(runs)
        yield Finding(
            RULE,
            "warning",
            load.id,
            say(
                "{device} runs in {states} and should not: there it has {volts} V, and "
                "it works from {working_v} V.",
                device=called(device.title, load.id),
                states=states,
                volts=decimals(volts[runs[0]], 2),
                working_v=decimals(load.working_v, 2),
            ),
            say(
                "See which switch, relay or output feeds it and let that be open in "
                "{states}, or name these states in the draw (in).",
                states=states,
            ),
            SOURCE,
            device.where,
        )

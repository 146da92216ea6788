"""Finds loads that do not work in a state for which they are written."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.questions import loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import volts_while_on
from buildbook.figures import decimals
from buildbook.words.say import say

RULE = "load-dead-in-state"
SEVERITY = "warning"
SOURCE = "this description: the states that a draw names (in), and what closes in them"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only draws that name their states one by one: `all` and `except` leave some open.

    A load that works in no state at all has a rule of its own.
    """
    for device, load in loads(assessed.vehicle):
        named = _named(assessed, device.id, load.id)
        if load.working_v <= 0:
            continue
        volts = {state: volts_while_on(assessed.solved.meter[state], load) for state in named}
        dead = [state for state, reached in volts.items() if reached < load.working_v]
        if not dead or len(dead) == len(named):
            continue
        states = quoted(dead)
        yield Finding(
            RULE,
            "warning",
            load.id,
            say(
                "{device} should work in {states} and does not: there it has {volts} "
                "V, and it needs {working_v} V to work.",
                device=called(device.title, load.id),
                states=states,
                volts=decimals(volts[dead[0]], 2),
                working_v=decimals(load.working_v, 2),
            ),
            say(
                "See which switch, relay or output feeds it and let that close in "
                "{states} as well, or take the state out of the draw (in).",
                states=states,
            ),
            SOURCE,
            device.where,
        )


def _named(assessed: Assessed, device_id: str, load_id: str) -> list[str]:
    """States that a load's draw names one by one, in the order of the states."""
    device = assessed.vehicle.devices[device_id]
    for load, draw in zip(device.loads, device.written.draws, strict=False):
        if load.id == load_id and draw.in_.states is not None:
            return [state for state in assessed.vehicle.states if state in draw.in_.states]
    return []

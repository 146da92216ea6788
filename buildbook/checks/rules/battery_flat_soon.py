"""Finds batteries that go flat too soon, parked or with the ignition on."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import where_of
from buildbook.checks.questions import cranking_states
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.words.say import say

RULE = "battery-flat-soon"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: it still starts after two weeks parked, or half an hour of ignition"
PARKED_H, IGNITION_H = 14 * 24.0, 0.5


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at states with the engine still: parked are those with no share of the day."""
    states = assessed.vehicle.description.states
    cranking = cranking_states(assessed.vehicle)
    battery = assessed.vehicle.supply.battery.plus_pin.partition(".")[0]
    rests = [s for s in states if states[s].engine == 0 and s not in cranking]
    for row in assessed.supply.balances:
        if row.state not in rests or row.last_start_h is None:
            continue
        parked = row.state == rests[0] and states[row.state].share == 0 and len(rests) > 1
        needed = PARKED_H if parked else IGNITION_H
        if row.last_start_h >= needed:
            continue
        yield Finding(
            RULE,
            "warning",
            row.state,
            say(
                "In '{state}' the battery gives {demand_a} A and is too empty to start "
                "the engine after {last_start_h} h; it should last {needed:g} h.",
                state=row.state,
                demand_a=significant(row.demand_a, 3),
                last_start_h=significant(row.last_start_h, 3),
                needed=needed,
            ),
            say(
                "See what draws there and need not: a feed from the battery side that "
                "belongs behind the ignition switch; or fit a larger battery."
            )
            if parked
            else say("Draw less before the engine runs, or fit a larger battery."),
            SOURCE,
            where_of(assessed.vehicle, battery),
        )

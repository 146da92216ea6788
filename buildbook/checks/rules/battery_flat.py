"""Finds batteries that go flat too soon, parked or with the ignition on."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context, cranking_states, where_of
from buildbook.checks.model import Finding
from buildbook.figures import significant

RULE = "battery-flat-soon"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: it still starts after two weeks parked, or half an hour of ignition"
PARKED_H, IGNITION_H = 14 * 24.0, 0.5


def check(context: Context) -> Iterator[Finding]:
    """Look at states with the engine still: parked are those with no share of the day."""
    states = context.vehicle.description.states
    cranking = cranking_states(context.vehicle)
    battery = context.vehicle.description.supply.battery.between[0].partition(".")[0]
    rests = [s for s in states if states[s].engine == 0 and s not in cranking]
    for row in context.supply.balances:
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
            f"In '{row.state}' the battery gives {significant(row.demand_a, 3)} A and is too "
            f"empty to start the engine after {significant(row.last_start_h, 3)} h; it should "
            f"last {needed:g} h.",
            "See what draws there and need not: a feed from the battery side that belongs behind "
            "the ignition switch; or fit a larger battery."
            if parked
            else "Draw less before the engine runs, or fit a larger battery.",
            SOURCE,
            where_of(context.vehicle, battery),
        )

"""States in which something is seen, and how long the battery alone keeps the engine running."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.book.formats import amps, hours, number
from buildbook.faultfinding.model import Charging, Symptom
from buildbook.result import Result
from buildbook.words.joined import all_of
from buildbook.words.say import say

FEW_LEFT_OUT = 2
"""States that are named as left out, rather than all others as meant."""


def states_words(result: Result, states: Sequence[str]) -> str:
    """States in order: 'idle, raining', 'every state', 'every state but off'."""
    others = [state for state in result.vehicle.states if state not in states]
    if len(states) <= len(others) or len(others) > FEW_LEFT_OUT:
        return ", ".join(states)
    if not others:
        return say("every state", context="behind: in")
    return say("every state but {states}", context="behind: in", states=all_of(others))


def charging_words(symptom: Symptom) -> tuple[str, ...]:
    """What a voltmeter shows while the engine runs on the battery alone, and for how long."""
    if not symptom.charging:
        return ()
    worst = max(symptom.charging, key=lambda c: c.drain_a)
    least = min(symptom.charging, key=lambda c: c.drain_a)
    several = len(symptom.charging) > 1
    said = [_drained(worst)] + ([_drained(least)] if several else [])
    return (say("The engine runs on the battery: {said}", said="; ".join(said)),)


def _drained(charging: Charging) -> str:
    return say(
        "{state} {shown} V at the battery instead of {healthy}, {amps} drawn from it: it starts "
        "again for {last_start}, stops after {flat}",
        state=charging.state,
        shown=number(charging.battery_v, 1),
        healthy=number(charging.healthy_v, 1),
        amps=amps(charging.drain_a),
        last_start=hours(charging.last_start_h),
        flat=hours(charging.flat_h),
    )

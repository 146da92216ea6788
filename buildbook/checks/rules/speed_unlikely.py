"""Finds starters that turn the engine faster or slower than any does."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import written_at
from buildbook.checks.questions import cranking_states
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.words.say import say

RULE = "speed-unlikely"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: starters turn engines at 80 to 400 rpm, small ones up to 700"
CRANKING_RPM = (40.0, 700.0)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the engine's speed in the states in which a starter draws."""
    vehicle = assessed.vehicle
    for state in cranking_states(vehicle):
        rpm = vehicle.description.states[state].engine
        least, most = CRANKING_RPM
        if not rpm or least <= rpm <= most:
            continue
        slipped = [rpm * f for f in (0.1, 10, 0.01, 100) if least <= rpm * f <= most]
        path = ("states", state, "engine")
        yield Finding(
            RULE,
            "warning",
            state,
            say(
                "The engine turns at {rpm:g} rpm in '{state}', in which a starter turns "
                "it: starters reach {least:g} to {most:g} rpm.",
                rpm=rpm,
                state=state,
                least=least,
                most=most,
            ),
            say(
                "Correct `engine` of '{state}': perhaps {rpm} rpm; or take the starter out of this "
                "state.",
                state=state,
                rpm=significant(slipped[0], 3),
            )
            if slipped
            else say(
                "Correct `engine` of '{state}'; or take the starter out of this state.", state=state
            ),
            SOURCE,
            written_at(vehicle, *path),
            edits=((path, slipped[0]),) if slipped else (),
        )

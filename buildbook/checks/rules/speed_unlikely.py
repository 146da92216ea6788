"""Finds starters that turn the engine faster or slower than any does."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import written_at
from buildbook.checks.questions import cranking_states
from buildbook.checks.stages import Assessed
from buildbook.figures import significant

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
        perhaps = f": perhaps {significant(slipped[0], 3)} rpm" if slipped else ""
        path = ("states", state, "engine")
        yield Finding(
            RULE,
            "warning",
            state,
            f"The engine turns at {rpm:g} rpm in '{state}', in which a starter turns it: starters "
            f"reach {least:g} to {most:g} rpm.",
            f"Correct `engine` of '{state}'{perhaps}; or take the starter out of this state.",
            SOURCE,
            written_at(vehicle, *path),
            edits=((path, slipped[0]),) if slipped else (),
        )

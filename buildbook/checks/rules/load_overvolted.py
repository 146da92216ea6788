"""Finds loads that get many more volts than they are stated at."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import where_of_pin
from buildbook.checks.questions import loads
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import volts_while_on
from buildbook.figures import decimals
from buildbook.words.say import say

RULE = "load-overvolted"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: what is made for 12 V stands 16 V for a while, and 24 V not at all"
MOST = 1.45
"""Times the volts that it is stated at: 13.5 V is 1.2 times the 12 V of a label with a margin."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only draws that say at which volts (at) they are stated; in the worst state."""
    for device, load in loads(assessed.vehicle):
        stated_v = next(
            (
                draw.at
                for own, draw in zip(device.loads, device.written.draws, strict=False)
                if own.id == load.id
            ),
            None,
        )
        if not stated_v or device.kind == "magneto":
            continue
        seen = {s: volts_while_on(x, load) for s, x in assessed.solved.meter.items()}
        state = max(seen, key=lambda s: seen[s], default="")
        if seen.get(state, 0.0) <= MOST * stated_v:
            continue
        yield Finding(
            RULE,
            "error",
            load.id,
            say(
                "{device} is stated at {stated_v:g} V and gets {seen} V in '{state}': "
                "too many volts destroy it.",
                device=called(device.title, load.id),
                stated_v=stated_v,
                seen=decimals(seen[state], 1),
                state=state,
            ),
            say(
                "Feed it from what gives {stated_v:g} V (a lower tap, a converter, "
                "another supply), or correct `at` of its draw.",
                stated_v=stated_v,
            ),
            SOURCE,
            where_of_pin(assessed.vehicle, load.from_pin),
        )

"""Finds pass-throughs with too few contacts left for what comes later."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "pass-through-full"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: a tenth of the contacts of a bulkhead connector stay free"
LEAST_SHARE = 0.1


def check(assessed: Assessed) -> Iterator[Finding]:
    """One that was there already is what it is."""
    for through in assessed.vehicle.pass_throughs:
        free = sum(assessed.harness.spares.get(through.device, {}).values())
        used = sum(p.device == through.device for p in assessed.harness.pass_pins)
        if through.on_vehicle or not used or free >= LEAST_SHARE * (free + used):
            continue
        yield Finding(
            RULE,
            "note",
            through.device,
            say(
                "{device} has {free} of {all} contacts free; {share:.0f} % should be.",
                device=called(assessed.vehicle.devices[through.device].title, through.device),
                free=free,
                all=free + used,
                share=LEAST_SHARE * 100,
            ),
            say(
                "Choose a connector with more contacts, or move a circuit to another pass-through."
            ),
            SOURCE,
            through.where,
        )

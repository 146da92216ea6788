"""Finds loads that are described twice."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "load-twice"
SEVERITY = "warning"
SOURCE = "this description: one load, one draw"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Two draws of one device between the same pins with the same words or the same current."""
    for device in assessed.vehicle.devices.values():
        seen: dict[tuple[object, ...], str] = {}
        for load in device.loads:
            key = (load.from_pin, load.to_pin, load.what, load.ohms, load.states)
            if key in seen:
                yield Finding(
                    RULE,
                    "warning",
                    load.id,
                    say(
                        "{device} draws twice between {from_pin} and {to_pin}: two draws that "
                        "are the same.",
                        device=called(device.title, device.id),
                        from_pin=load.from_pin,
                        to_pin=load.to_pin,
                    ),
                    say("Take one of the two draws out."),
                    SOURCE,
                    device.where,
                )
            seen.setdefault(key, load.id)

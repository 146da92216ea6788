"""Finds fuses that feed nothing."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.questions import circuits_at, is_worked
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "fuse-idle"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a fuse that feeds nothing is a circuit forgotten or a spare slot"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A fuse whose circuits are all for later is left out."""
    for fuse_id, sized in assessed.sizing.fuses.items():
        device = assessed.vehicle.devices[fuse_id]
        circuits = [
            assessed.vehicle.circuits[c]
            for pin in device.pins
            for c in circuits_at(assessed.vehicle, pin.id)
        ]
        if sized.feeds or (circuits and not all(is_worked(c) for c in circuits)):
            continue
        yield Finding(
            RULE,
            "warning",
            fuse_id,
            say("{device} feeds no load.", device=first_up(name_of(device))),
            say(
                "Join {fuse_id}.out to what it should feed, or give its circuit `status: future`.",
                fuse_id=fuse_id,
            ),
            SOURCE,
            device.where,
        )

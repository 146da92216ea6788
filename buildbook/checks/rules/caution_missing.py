"""Finds work that burns, starts or lifts and bears no caution."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import is_fuel_pump
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "caution-missing"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: whoever opens a fuel line or jumps a starter is told first"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Fuel pumps and injectors, starters, batteries."""
    for device in assessed.vehicle.devices.values():
        needed = {"injector": "fuel", "starter": "cranking", "battery": "battery"}.get(device.kind)
        if is_fuel_pump(device):
            needed = "fuel"
        if needed is None or device.written.caution:
            continue
        yield Finding(
            RULE,
            "note",
            device.id,
            say(
                "{device} bears no caution, so its tests in the book come without a warning.",
                device=called(device.title, device.id),
            ),
            say("Write `caution: {needed}` at the device.", needed=needed),
            SOURCE,
            device.where,
        )

"""Finds feeds and grounds of a controller that are left unjoined."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import words
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed

RULE = "power-pin-unused"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: every power and ground pin of a controller is wired; each shares the current"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Pins under `power`, and unused pins whose use says power, feed or ground."""
    for device in assessed.vehicle.all_of("controller"):
        power = device.written.power
        named = {*power.feeds, *power.grounds} if power else set()
        for pin in device.pins:
            means = {"power", "feed", "ground"} & set(words(pin.use))
            wanted = pin.name in named or (pin.unused and means)
            if wanted and not circuits_at(assessed.vehicle, pin.id):
                yield Finding(
                    RULE,
                    "error",
                    pin.id,
                    f"Pin {pin.id}{f' ({pin.use})' if pin.use else ''} feeds or grounds "
                    f"{device.title} and is not joined.",
                    "Join every feed and every ground that the data sheet lists.",
                    SOURCE,
                    device.where,
                )

"""Finds feeds and grounds of a controller, and ends of a source, that are left unjoined."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import pin_name, words
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "power-pin-unused"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: every power and ground pin of a controller is wired; each shares the current"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Pins under `power`, unused pins whose use says power, feed or ground, ends of sources."""
    yield from _sources(assessed)
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
                    say(
                        "Pin {pin} feeds or grounds {device} and is not joined.",
                        pin=pin_name(pin),
                        device=device.title,
                    ),
                    say("Join every feed and every ground that the data sheet lists."),
                    SOURCE,
                    device.where,
                )


def _sources(assessed: Assessed) -> Iterator[Finding]:
    """A source with one end in the air gives nothing."""
    vehicle = assessed.vehicle
    for source in vehicle.supply.sources:
        pins = (source.plus_pin, source.minus_pin, *(source.input_pins or ()))
        for pin in pins:
            device = vehicle.devices.get(pin.rpartition(".")[0])
            if device and device.written.fitted == "yes" and not circuits_at(vehicle, pin):
                yield Finding(
                    RULE,
                    "error",
                    pin,
                    say(
                        "Pin {pin} of the source {device} is not joined: nothing flows in it.",
                        pin=pin,
                        device=device.title,
                    ),
                    say("Join both ends of every source, and what feeds a converter."),
                    SOURCE,
                    source.where,
                )

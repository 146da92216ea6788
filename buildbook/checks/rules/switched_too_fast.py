"""Finds loads that are switched faster than their output, or the relay that feeds them, can."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import loads, pins_with
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.vehicle.model import Device, Load
from buildbook.words.say import say

RULE = "switched-too-fast"
SEVERITY = "error"
SOURCE = f"the frequencies in this description; {PRACTICE} for relays: they switch now and then"
RELAY_HZ = 1.0
"""A contact stands some hundred thousand switchings: at this pace a day or two. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the outputs and relay contacts beside each load whose frequency is written."""
    for device, load in loads(assessed.vehicle):
        if load.frequency_hz is None:
            continue
        for switching, about, most_hz in _switches(assessed, load):
            if load.frequency_hz > most_hz:
                yield _finding(device, load, switching, about, most_hz)


def _switches(assessed: Assessed, load: Load) -> Iterator[tuple[Device, str, float]]:
    """Outputs and relays on a load's circuits, each with the highest frequency that it stands."""
    vehicle = assessed.vehicle
    near = (pins_with(vehicle, end) for end in (load.from_pin, load.to_pin))
    for pin in (vehicle.pins[name] for name in dict.fromkeys(p for pins in near for p in pins)):
        device = vehicle.devices[pin.device]
        driver = device.written.drivers.get(pin.name)
        if driver and driver.frequency is not None:
            yield device, pin.id, driver.frequency
        elif device.kind == "relay" and pin.name in ("87", "87a"):
            yield device, device.id, RELAY_HZ


def _finding(device: Device, load: Load, switching: Device, about: str, most_hz: float) -> Finding:
    said = {
        "device": called(device.title, load.id),
        "pace": significant(load.frequency_hz or 0.0, 3),
    }
    if switching.kind == "relay":
        return Finding(
            RULE,
            "error",
            about,
            say(
                "{device} is switched {pace} times a second, and relay {relay} feeds it: no "
                "contact stands more than {most:g} a second for long.",
                relay=called(switching.title, about),
                most=most_hz,
                **said,
            ),
            say(
                "Feed it past the relay from an output that can switch so fast, or leave "
                "it on without a break."
            ),
            SOURCE,
            switching.where,
        )
    return Finding(
        RULE,
        "error",
        about,
        say(
            "{device} is switched {pace} times a second; output {output} of {controller} manages "
            "{most} a second.",
            output=about,
            controller=switching.title,
            most=significant(most_hz, 3),
            **said,
        ),
        say(
            "Set a lower frequency in the controller if the load allows it, or take an "
            "output made for fast switching."
        ),
        SOURCE,
        switching.where,
    )

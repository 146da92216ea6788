"""Finds weak signals without a screened cable."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, sensed
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.vehicle.signals import WEAK_SENSING
from buildbook.words.say import say

RULE = "signal-unscreened"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: pickups, knock sensors and thermocouples have screened cable"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the cable of each such signal."""
    vehicle = assessed.vehicle
    cables = vehicle.description.cables.values()
    screened = {c for cable in cables if cable.screen for c in cable.cores}
    for device in vehicle.all_of("sensor"):
        if device.written.senses not in WEAK_SENSING:
            continue
        bare = [c for pin in device.pins for c in circuits_at(vehicle, pin.id) if c not in screened]
        if not bare:
            continue
        said = {
            "device": called(device.title, device.id),
            "senses": sensed(device.written.senses),
            "circuit": bare[0],
        }
        yield Finding(
            RULE,
            "warning",
            device.id,
            say(
                "{device} gives a weak signal ({senses}) and '{circuit}' and {n} more have no "
                "screen: the controller may count sparks.",
                n=len(bare) - 1,
                **said,
            )
            if bare[1:]
            else say(
                "{device} gives a weak signal ({senses}) and '{circuit}' has no screen: the "
                "controller may count sparks.",
                **said,
            ),
            say(
                "Make its wires a cable (cables: type: shielded 2) with the screen on a "
                "ground at the controller only."
            ),
            SOURCE,
            device.where,
        )

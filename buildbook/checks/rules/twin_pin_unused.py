"""Finds pins that are used on one side of the vehicle and not on the other."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.left_and_right import left_and_right
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "twin-pin-unused"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: what is on both sides of a vehicle is wired alike on both"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A pin declared unused on one device, joined on its twin; an undeclared one is told anyway."""
    vehicle = assessed.vehicle
    for pair in left_and_right(vehicle):
        for device, other in (pair, pair[::-1]):
            used = {p.name for p in other.pins if circuits_at(vehicle, p.id)}
            idle = [p for p in device.pins if p.unused and p.name in used]
            if not idle or device.written.fitted != "yes":
                continue
            names = ", ".join(p.name for p in idle)
            yield Finding(
                RULE,
                "warning",
                idle[0].id,
                say(
                    "Pin {names} of {device} is listed as unused, and {other} uses it.",
                    names=names,
                    device=called(device.title, device.id),
                    other=called(other.title, other.id),
                ),
                say("Join it as on the other side, or say why they differ in a waiver."),
                SOURCE,
                device.where,
            )

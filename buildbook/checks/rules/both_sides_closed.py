"""Finds switches that are closed to both of two opposite sides at once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.problem import Where
from buildbook.vehicle.model import Contact, Device, Vehicle
from buildbook.words.say import say

RULE = "both-sides-closed"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: one lever stands on one side; a hazard switch is another device"
OPPOSITE = (
    ("left", "right"),
    ("up", "down"),
    ("raise", "lower"),
    ("forward", "reverse"),
    ("forward", "back"),
    ("open", "close"),
    ("in", "out"),
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Two contacts of one pin whose positions or pins are named for opposite sides."""
    vehicle = assessed.vehicle
    for device in vehicle.devices.values():
        switches = [c for c in device.contacts if c.kind == "switch"]
        for one, other in combinations(switches, 2):
            states = [s for s in vehicle.states if s in one.states & other.states]
            sides = _sides(vehicle, one, other)
            if not states or not sides:
                continue
            wrong = max(one, other, key=lambda c: (len(c.states), switches.index(c)))
            index = switches.index(wrong)
            yield Finding(
                RULE,
                "warning",
                device.id,
                say(
                    "{device} is closed to both sides, {side} and {opposite}, in {states} "
                    "({one} and {other}).",
                    device=called(device.title, device.id),
                    side=sides[0],
                    opposite=sides[1],
                    states=quoted(states),
                    one=one.id,
                    other=other.id,
                ),
                say(
                    "Take {states} out of `closed` of {one} or of {other}: a lever stands "
                    "on one side.",
                    states=quoted(states),
                    one=one.id,
                    other=other.id,
                ),
                SOURCE,
                _where(vehicle, device, index),
            )


def _sides(vehicle: Vehicle, one: Contact, other: Contact) -> tuple[str, str] | None:
    """What two contacts that share a pin are called, if that is opposite and all of it.

    'Left switch up' is one of two levers.
    """
    ends = [{c.from_pin, c.to_pin} for c in (one, other)]
    if not ends[0] & ends[1]:
        return None
    said = [
        {text.strip().lower() for text in (c.position, *_uses(vehicle, own - ends[0] & ends[1]))}
        for c, own in zip((one, other), ends, strict=True)
    ]
    for first, second in OPPOSITE:
        if first in said[0] and second in said[1]:
            return first, second
        if second in said[0] and first in said[1]:
            return second, first
    return None


def _uses(vehicle: Vehicle, pins: set[str]) -> list[str]:
    return [vehicle.pins[pin].use for pin in pins]


def _where(vehicle: Vehicle, device: Device, index: int) -> Where:
    if len(device.written.contacts) > index:
        return written_at(vehicle, "devices", device.id, "contacts", index, "closed")
    return device.where

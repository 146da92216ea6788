"""Finds switches whose two ends are one without them: they switch nothing."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.joints import beside
from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.places import where_of_pin
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Contact, Vehicle
from buildbook.words.say import say

RULE = "switch-bypassed"
SEVERITY = "error"
SOURCE = "this description: circuits, fuses, bus bars and grounds that join both ends of a contact"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Contacts of switches, isolators and relays that something else joins in every state."""
    vehicle = assessed.vehicle
    for device in vehicle.devices.values():
        for contact in device.contacts:
            if contact.kind not in ("switch", "relay"):
                continue
            way = beside(vehicle, contact)
            if way:
                yield _finding(vehicle, device.title, contact, way)


def _finding(vehicle: Vehicle, title: str, contact: Contact, way: list[str]) -> Finding:
    told = [step.removesuffix(".stud") for step in way]
    middle = [step for step in way[1:-1] if step in vehicle.pins]
    first = middle[0] if middle else contact.to_pin
    return Finding(
        RULE,
        "error",
        contact.id,
        say(
            "{contact} switches nothing: both ends of the contact are joined past it, by "
            "{way}. What it should switch is always on.",
            contact=called(title, contact.id),
            way=", ".join(told),
        ),
        say(
            "Take {pin} out of {circuit}, or lead that circuit to one end of the contact "
            "alone; the two ends belong to separate circuits.",
            pin=first.removesuffix(".stud"),
            circuit=told[1],
        ),
        SOURCE,
        where_of_pin(vehicle, first),
    )

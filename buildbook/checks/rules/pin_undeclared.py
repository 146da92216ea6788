"""Finds pins that no circuit joins and that are not declared unused."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import name_of, pin_name
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "pin-undeclared"
SEVERITY = "warning"
SOURCE = "this description: every pin is joined or listed under unused"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Pins bonded to a bus bar inside their device need no wire."""
    for device in assessed.vehicle.devices.values():
        bonded = {p for b in device.bonds if b.kind == "bus" for p in (b.from_pin, b.to_pin)}
        for pin in device.pins:
            if pin.unused or pin.id in bonded or circuits_at(assessed.vehicle, pin.id):
                continue
            yield Finding(
                RULE,
                "warning",
                pin.id,
                say(
                    "Pin {pin} of {device} is joined to nothing.",
                    pin=pin_name(pin),
                    device=name_of(device),
                ),
                say("Join it in a circuit, or list it under 'unused' of the device."),
                SOURCE,
                device.where,
            )

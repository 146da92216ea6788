"""Finds outputs of a controller that work nothing."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.questions import circuits_at, is_worked
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "driver-idle"
SEVERITY = "warning"
SOURCE = "this description: drivers, and what their circuits join"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A joined output whose circuit has no load's end on any other device."""
    vehicle = assessed.vehicle
    ends = {p for d in vehicle.devices.values() for x in d.loads for p in (x.from_pin, x.to_pin)}
    through = {
        p
        for d in vehicle.devices.values()
        for x in d.contacts
        if x.kind == "switch"
        for p in (x.from_pin, x.to_pin)
    }
    takes = {p.id for d in vehicle.devices.values() if d.kind == "panel" for p in d.pins}
    takes |= {f"{d.id}.{name}" for d in vehicle.devices.values() for name in d.written.inputs}
    for device in vehicle.devices.values():
        for name in device.written.drivers:
            pin = f"{device.id}.{name}"
            circuits = [vehicle.circuits[c] for c in circuits_at(vehicle, pin)]
            others = [p for c in circuits for p in c.pins if p.id != pin]
            worked = any(is_worked(c) for c in circuits)
            if not worked or any(p.id in ends | through | takes for p in others):
                continue
            yield Finding(
                RULE,
                "warning",
                pin,
                say(
                    "Output {pin} of {device} works nothing: {others} at the other end of "
                    "'{circuit}' draws no current.",
                    pin=pin,
                    device=device.title,
                    others=", ".join(p.id for p in others),
                    circuit=circuits[0].id,
                )
                if others
                else say(
                    "Output {pin} of {device} works nothing: nothing at the other end of "
                    "'{circuit}' draws no current.",
                    pin=pin,
                    device=device.title,
                    circuit=circuits[0].id,
                ),
                say("Join it to the load that it should switch."),
                SOURCE,
                circuits[0].where,
            )

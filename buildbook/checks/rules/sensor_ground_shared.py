"""Finds sensors whose ground also carries the current of loads."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at, is_ground, pins_with
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "sensor-ground-shared"
SEVERITY = "warning or note"
SOURCE = f"{PRACTICE}: sensors are grounded at the controller that reads them, apart from loads"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A return on a chassis stud, although the controller has a sensor ground; switches aside."""
    vehicle = assessed.vehicle
    inputs = {
        f"{d.id}.{name}": (d, i)
        for d in vehicle.devices.values()
        for name, i in d.written.inputs.items()
    }
    for device in vehicle.devices.values():
        for signal in device.signals:
            read = [inputs[p] for p in pins_with(vehicle, signal.pin) if p in inputs]
            back = [vehicle.circuits[c] for c in circuits_at(vehicle, signal.return_pin)]
            if not read or not back or signal.written.switch or not is_ground(vehicle, back[0]):
                continue
            reader, pin = read[0]
            severe = pin.ground is not None
            if not severe and not any(i.ground for i in reader.written.inputs.values()):
                continue
            yield Finding(
                RULE,
                "warning" if severe else "note",
                signal.pin,
                say(
                    "{device} is read by {reader}, but grounded at a chassis stud by '{back}': "
                    "every load's current there moves its reading.",
                    device=called(device.title, device.id),
                    reader=reader.title,
                    back=back[0].id,
                ),
                say(
                    "Lead the return to the sensor ground of {reader}, and to no stud.",
                    reader=reader.title,
                ),
                SOURCE,
                back[0].where,
            )

"""Finds sensor supplies that also feed a load."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import loads
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.vehicle.model import Device, Load
from buildbook.words.say import say

RULE = "sensor-supply-shared"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a load on a sensor's supply moves the reading each time it switches"
MOST_A = 0.1
"""More than this is a load and not a sensor. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the loads of every circuit that a controller's regulated output feeds."""
    vehicle = assessed.vehicle
    outputs = {s.plus_pin: s for d in vehicle.devices.values() for s in d.sources}
    by_pin: dict[str, list[tuple[Device, Load]]] = {}
    for device, load in loads(vehicle):
        by_pin.setdefault(load.from_pin, []).append((device, load))
        by_pin.setdefault(load.to_pin, []).append((device, load))
    for circuit in vehicle.circuits.values():
        ids = [pin.id for pin in circuit.pins]
        source = next((outputs[i] for i in ids if i in outputs), None)
        if source is None:
            continue
        for device, load in (found for i in ids for found in by_pin.get(i, ())):
            amps = source.volts / load.ohms
            if device.id == source.device or amps <= MOST_A:
                continue
            yield Finding(
                RULE,
                "warning",
                load.id,
                say(
                    "{device} draws {amps} A from {pin}, a supply for sensors; {most:g} "
                    "A is allowed to one of them.",
                    device=called(device.title, load.id),
                    amps=significant(amps, 2),
                    pin=source.plus_pin,
                    most=MOST_A,
                ),
                say("Feed it from a fuse, and leave the supply to the sensors."),
                SOURCE,
                circuit.where,
            )

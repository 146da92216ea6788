"""Finds engines that the alternator keeps alive with the isolator open."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.questions import circuits_at, is_ground
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Device

RULE = "engine-survives-isolator"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: a second pole of the isolator cuts what the alternator would feed on"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Open the isolators, take away the battery, and follow the alternator to the controllers."""
    vehicle = assessed.vehicle
    isolators = [d.id for d in vehicle.all_of("isolator")]
    alternator = vehicle.supply.generator
    if not isolators or alternator is None:
        return
    live = reach(
        conducting_pairs(assessed.vehicle, assessed.harness, without=isolators),
        inside(alternator.plus_pin),
    )
    for device in vehicle.all_of("controller"):
        power = device.written.power
        if power is None or not _runs_engine(assessed, device):
            continue
        fed = [f"{device.id}.{feed}" for feed in power.feeds]
        if any(inside(pin) in live for pin in fed):
            yield Finding(
                RULE,
                "error",
                device.id,
                f"With the isolator open, a running engine's alternator still feeds "
                f"{device.title} ({', '.join(fed)}): the engine would run on.",
                "Lead the controller's feed through a second pole of the isolator.",
                SOURCE,
                device.where,
            )


def _runs_engine(assessed: Assessed, device: Device) -> bool:
    """Whether it is wired to an injector or an ignition coil."""
    circuits = (c for pin in device.pins for c in circuits_at(assessed.vehicle, pin.id))
    kinds = {
        assessed.vehicle.devices[pin.device].kind
        for circuit in circuits
        for pin in assessed.vehicle.circuits[circuit].pins
        if not is_ground(assessed.vehicle, assessed.vehicle.circuits[circuit])
    }
    return bool(kinds & {"injector", "ignition coil"})

"""Finds fuel pumps that nothing stops when the engine stops or the car is hit."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, live_ends, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, words
from buildbook.checks.questions import is_fuel_pump, pins_with
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "pump-no-cut-off"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: a controller or an inertia switch cuts the fuel pump"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look for a relay that a controller works, a driver, or an inertia switch in its feed."""
    vehicle = assessed.vehicle
    for pump in filter(is_fuel_pump, vehicle.devices.values()):
        stops = [d.id for d in vehicle.devices.values() if _stops(assessed, d)]
        live = reach(
            conducting_pairs(assessed.vehicle, assessed.harness, without=stops),
            *live_ends(vehicle),
        )
        if not any({inside(load.from_pin), inside(load.to_pin)} & live for load in pump.loads):
            continue
        yield Finding(
            RULE,
            "note",
            pump.id,
            say(
                "{pump} runs as long as it is switched on: neither a controller nor an "
                "inertia switch stops it when the engine stops or the car is hit. Is that "
                "meant?",
                pump=called(pump.title, pump.id),
            ),
            say(
                "Work its relay from the engine controller, or put an inertia switch in "
                "its feed. Leaking fuel under pressure burns."
            ),
            SOURCE,
            pump.where,
        )


def _stops(assessed: Assessed, device: Device) -> bool:
    """An inertia switch, a controller, or a relay whose coil a controller's driver works."""
    if device.kind == "controller":
        return True
    if device.kind == "switch":
        return bool({"inertia", "crash", "impact"} & set(words(device.id, device.title)))
    drivers = {
        contact.id
        for other in assessed.vehicle.all_of("controller")
        for contact in other.contacts
        if contact.kind == "driver"
    }
    joined_to = {
        pin
        for load in device.loads
        for end in (load.from_pin, load.to_pin)
        for pin in pins_with(assessed.vehicle, end)
    }
    return device.kind == "relay" and bool(drivers & joined_to)

"""Finds starters in places where no engine is."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at, zones_at
from buildbook.checks.stages import Assessed

RULE = "place-unlikely"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a starter sits on the engine, where the air is hot"
ON_ENGINE = frozenset({"starter", "injector"})
HOT_C = 65.0


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only where the vehicle has a hot zone, and none of it is at the starter's place."""
    vehicle = assessed.vehicle
    zones = vehicle.description.zones.values()
    if not any(zone.ambient >= HOT_C for zone in zones):
        return
    for device in vehicle.devices.values():
        here = zones_at(vehicle, device.point)
        if device.kind not in ON_ENGINE or not here:
            continue
        if any(zone.ambient >= HOT_C for _, zone in here):
            continue
        yield Finding(
            RULE,
            "warning",
            device.id,
            f"{called(device.title, device.id)} is at '{device.point}', in zone '{here[0][0]}' of "
            f"{here[0][1].ambient:g} degC: no engine is there, and such a thing sits on one.",
            "Correct `at`: the point of the rope at the engine.",
            SOURCE,
            written_at(vehicle, "devices", device.id, "at"),
        )

"""Where things are: zones at a point, wires along a run."""

from __future__ import annotations

from buildbook.description import models as written
from buildbook.harness.model import Harness
from buildbook.problem import Where
from buildbook.vehicle.model import Vehicle


def where_of(vehicle: Vehicle, about: str) -> Where:
    """Where a device or circuit was written; the file's start where that is not known."""
    if about in vehicle.devices:
        return vehicle.devices[about].where
    if about in vehicle.circuits:
        return vehicle.circuits[about].where
    return Where("vehicle.yaml")


def zones_at(
    vehicle: Vehicle, point: str, harness: str = ""
) -> tuple[tuple[str, written.Zone], ...]:
    """Zones of the runs that end at a point."""
    names = dict.fromkeys(run.zone for run in vehicle.runs_at(point, harness))
    return tuple((name, vehicle.description.zones[name]) for name in names)


def is_wired(harness: Harness, run: str) -> bool:
    """Whether wires lie along a run."""
    return run in harness.bundles and bool(harness.bundles[run].wires)

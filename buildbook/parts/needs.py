"""Everything that a vehicle needs, derived from its wires, connectors and devices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness
from buildbook.parts.cover_needs import connector_boots, covers, splice_shrink
from buildbook.parts.device_needs import consumables, devices, fuses, halves, housings
from buildbook.parts.model import Need
from buildbook.parts.spares import failures
from buildbook.parts.take_off import added_up
from buildbook.parts.tools import tools
from buildbook.parts.wire_needs import blanks, cables, splices, terminals, wires_and_labels
from buildbook.sizing.finished_runs import boots_of, joints_of, outside_mm
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def needs(
    vehicle: Vehicle, harness: Harness, sizing: Sizing, dressed: Mapping[str, FinishedRun]
) -> tuple[Need, ...]:
    """Return everything that must be there, sorted by key; lengths in metres."""
    made = joints_of(vehicle, harness, sizing)
    mates = frozenset(half for half, mate in halves(vehicle, harness) if mate)
    entries = [
        *wires_and_labels(vehicle, harness, sizing),
        *cables(vehicle, harness),
        *terminals(vehicle, harness, sizing, mates),
        *blanks(vehicle, harness),
        *housings(vehicle, harness),
        *connector_boots(vehicle, harness, boots_of(vehicle, harness, sizing)),
        *fuses(vehicle, sizing),
        *splices(vehicle, harness, made),
        *splice_shrink(vehicle, harness, outside_mm(vehicle, sizing), made),
        *covers(vehicle, dressed),
        *devices(vehicle),
        *consumables(vehicle, harness),
    ]
    found = added_up([*entries, *tools(entry.key for entry in entries)])
    return tuple(replace(n, spare=failures(n.key, n.quantity, n.unit)) for n in found)

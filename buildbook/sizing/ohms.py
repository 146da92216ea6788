"""Resistances of chosen wires and fuses, as the network takes them."""

from __future__ import annotations

from buildbook.catalogue.model import FuseFamily
from buildbook.harness.model import Harness
from buildbook.sizing.ampacity import resistance_ratio
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


def wire_ohms(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> dict[str, float]:
    """Ohms of each wire at the temperature that its current brings it to, by wire id."""
    found = {}
    for chosen in sizing.wires.values():
        family = vehicle.wire_families[chosen.family]
        conductor = next(c for c in family.conductors if c.label == chosen.label)
        length_m = harness.wires[chosen.wire].cut_m
        found[chosen.wire] = (
            conductor.ohm_per_m_20c * length_m * resistance_ratio(chosen.conductor_c)
        )
    return found


def fuse_ohms(
    vehicle: Vehicle, sizing: Sizing, families: dict[str, FuseFamily]
) -> dict[str, float]:
    """Ohms of each fuse-link, by fuse device id."""
    return {
        f.fuse: families[vehicle.devices[f.fuse].written.fuse].ohms_at_1a / f.rating_a
        for f in sizing.fuses.values()
    }

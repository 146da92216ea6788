"""Resistances of chosen wires and fuses, as the network takes them."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import Conductor
from buildbook.harness.model import Wire
from buildbook.sizing.heat_balance import resistance_ratio
from buildbook.vehicle.model import Vehicle

SPLICE_OHM = 0.0002
"""Of a wire's crimp in a splice: a sound crimp's order (memory)."""


def joints_ohm(wire: Wire) -> float:
    """Ohms of the splice crimps at a wire's ends; those of terminals are in their contacts."""
    return SPLICE_OHM * sum(end.kind == "splice" for end in (wire.a, wire.b))


def one_wire_ohms(wire: Wire, conductor: Conductor, conductor_c: float) -> float:
    """Ohms of one wire with its splice crimps at a conductor temperature, degC."""
    copper = conductor.ohm_per_m_20c * wire.cut_m * resistance_ratio(conductor_c)
    return copper + joints_ohm(wire)


def fuse_ohms(vehicle: Vehicle, ratings: Mapping[str, float]) -> dict[str, float]:
    """Ohms of each fuse-link of a rating, by fuse device id; an output has its own."""
    return {
        fuse: fuse_families()[vehicle.devices[fuse].written.fuse].ohms_at_1a / rating_a
        for fuse, rating_a in ratings.items()
        if fuse in vehicle.devices
    }

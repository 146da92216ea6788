"""Resistances of chosen wires and fuses, as the network takes them."""

from __future__ import annotations

from buildbook.catalogue.model import Conductor, FuseFamily
from buildbook.harness.model import Harness, Wire
from buildbook.sizing.heat import resistance_ratio
from buildbook.sizing.model import Sizing
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


def wire_ohms(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> dict[str, float]:
    """Ohms of each wire at the temperature that its current brings it to, by wire id."""
    found = {}
    for chosen in sizing.wires.values():
        family = vehicle.wire_families[chosen.family]
        conductor = next(c for c in family.conductors if c.label == chosen.label)
        found[chosen.wire] = one_wire_ohms(
            harness.wires[chosen.wire], conductor, chosen.conductor_c
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

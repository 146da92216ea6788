"""The figures by which variants are compared: cost, mass, crimps, connectors, findings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import fsum

from buildbook.harness.model import Harness
from buildbook.parts.kits import first_lines
from buildbook.parts.mass import wires_kg
from buildbook.parts.model import Bill
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class VariantFigures:
    """One variant's column of a comparison."""

    name: str
    net: Decimal
    total: Decimal
    currency: str
    without_price: int
    wire_m: float
    wire_kg: float
    parts_kg: float
    """Of the parts whose mass is written."""
    with_mass: int
    wires: int
    crimps: int
    """Terminals and splices pressed."""
    connectors: int
    fuses: int
    relays: int
    errors: int
    warnings: int
    notes: int


def variant_figures(
    name: str,
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    bill: Bill,
    findings: Mapping[str, int],
) -> VariantFigures:
    """Count what a priced vehicle is made of; `findings` are counts by severity."""
    parts_kg, with_mass = parts_mass_kg(vehicle, bill)
    return VariantFigures(
        name=name,
        net=bill.net,
        total=bill.total,
        currency=bill.currency,
        without_price=len(bill.missing),
        wire_m=fsum(wire.cut_m for wire in harness.wires.values()),
        wire_kg=wires_kg(vehicle, sizing, harness.wires.values()),
        parts_kg=parts_kg,
        with_mass=with_mass,
        wires=len(harness.wires),
        crimps=round(_needed(bill, "terminal") + _needed(bill, "splice")),
        connectors=round(_needed(bill, "housing")),
        fuses=round(_needed(bill, "fuse")),
        relays=len(vehicle.all_of("relay")),
        errors=findings["error"],
        warnings=findings["warning"],
        notes=findings["note"],
    )


def parts_mass_kg(vehicle: Vehicle, bill: Bill) -> tuple[float, int]:
    """Mass in kg of the parts fitted whose mass is written, and how many parts those are."""
    parts, line_of = vehicle.description.parts, first_lines(bill)
    fitted: dict[str, float] = defaultdict(float)
    for need in bill.needs:
        if bought := line_of[need.key].part:
            fitted[bought] += need.quantity
    masses = [n * each for p, n in fitted.items() if (each := parts[p].mass) is not None]
    return fsum(masses), len(masses)


def _needed(bill: Bill, kind: str) -> float:
    return fsum(n.quantity for n in bill.needs if n.key.partition(" ")[0] == kind)

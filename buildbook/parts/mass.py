"""What each harness weighs: wires as cut, covers, and the parts on it whose mass is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness
from buildbook.harness.sleeves import cover_kg_per_m
from buildbook.parts.keys import kind_of
from buildbook.parts.model import Bill
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

CALCULATED = ("wire", "cable", "sleeve", "tool", "consumable")
"""First words of needs that are weighed from the catalogue, or stay in the workshop."""


@dataclass(frozen=True)
class HarnessMass:
    """Of one harness, in kg."""

    wires_kg: float
    covers_kg: float
    """Of the sleeves along its runs."""
    connectors_kg: float
    """Housings, terminals and seals whose mass is written."""
    others_kg: float
    """Other parts on it whose mass is written."""
    unweighed: int
    """Kinds of part on it whose mass is not written."""

    @property
    def total_kg(self) -> float:
        return self.wires_kg + self.covers_kg + self.connectors_kg + self.others_kg


def harness_masses(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    dressed: Mapping[str, FinishedRun],
    bill: Bill,
) -> dict[str, HarnessMass]:
    """Harness -> what it weighs, in the order of the rope."""
    wires = dict.fromkeys(vehicle.description.rope, 0.0)
    for wire in harness.wires.values():
        conductor = conductor_of(vehicle, sizing.wires[wire.id])
        wires[wire.harness] += wire.cut_m * conductor.kg_per_m
    return {
        name: HarnessMass(kg, _covers_kg(vehicle, dressed, name), *_parts(vehicle, bill, name))
        for name, kg in wires.items()
    }


def _covers_kg(vehicle: Vehicle, dressed: Mapping[str, FinishedRun], harness: str) -> float:
    """Sleeves of the harness, by the length of the runs that they cover."""
    found = (
        (run, dressed[run.id])
        for run in vehicle.runs
        if run.harness == harness and run.id in dressed
    )
    return sum(
        run.length_m * cover_kg_per_m(piece.sleeve, piece.bare_mm)
        for run, piece in found
        if piece.sleeve
    )


def _parts(vehicle: Vehicle, bill: Bill, harness: str) -> tuple[float, float, int]:
    """Kg of connectors and of other parts that the harness takes, and kinds without a mass."""
    connectors, others, unweighed = 0.0, 0.0, 0
    for line in bill.lines:
        key = line.keys[0]
        count = sum(use.quantity for use in line.need.uses if use.harness == harness)
        if not count or key.partition(" ")[0] in CALCULATED:
            continue
        part = vehicle.description.parts.get(line.part)
        if part is None or part.mass is None:
            unweighed += 1
        elif kind_of(key) in ("connectors", "terminals and seals"):
            connectors += count * part.mass
        else:
            others += count * part.mass
    return connectors, others, unweighed

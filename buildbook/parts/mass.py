"""What each harness weighs: wires as cut, covers, and the parts on it whose mass is written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Harness, Wire
from buildbook.harness.sleeves import cover_kg_per_m
from buildbook.parts.cover_needs import KEYS
from buildbook.parts.keys import kind_of
from buildbook.parts.kits import first_lines
from buildbook.parts.model import Bill
from buildbook.sizing.finished_runs import conductor_of
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Run, Vehicle

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
    wires, runs = harness.wires.values(), vehicle.runs
    return {
        name: HarnessMass(
            wires_kg(vehicle, sizing, (w for w in wires if w.harness == name)),
            covers_kg((r for r in runs if r.harness == name), dressed),
            *_parts(vehicle, bill, name),
        )
        for name in vehicle.description.rope
    }


def wires_kg(vehicle: Vehicle, sizing: Sizing, wires: Iterable[Wire]) -> float:
    """Mass of wires as cut, from the catalogue's kg a metre."""
    return fsum(w.cut_m * conductor_of(vehicle, sizing.wires[w.id]).kg_per_m for w in wires)


def covers_kg(runs: Iterable[Run], dressed: Mapping[str, FinishedRun]) -> float:
    """Mass of the covers along these runs, by the length of each."""
    found = ((run.length_m, dressed[run.id]) for run in runs if run.id in dressed)
    return fsum(
        length_m * cover_kg_per_m(piece.sleeve, piece.bare_mm)
        for length_m, piece in found
        if piece.sleeve
    )


def _parts(vehicle: Vehicle, bill: Bill, harness: str) -> tuple[float, float, int]:
    """Kg of connectors and of other parts that the harness takes, and kinds without a mass."""
    connectors, others = 0.0, 0.0
    unweighed: set[str] = set()
    line_of = first_lines(bill)
    cover = KEYS.get(vehicle.description.rope[harness].cover)
    for need in bill.needs:
        kind = need.key.partition(" ")[0]
        # Of heat-shrink and tape, what covers runs belongs to no system.
        mine = (use for use in need.uses if use.harness == harness)
        count = fsum(use.quantity for use in mine if use.system or kind != cover)
        if not count or kind in CALCULATED:
            continue
        bought = line_of[need.key].part
        part = vehicle.description.parts.get(bought)
        if part is None or part.mass is None:
            unweighed.add(bought or need.key)
        elif kind_of(need.key) in ("connectors", "terminals and seals"):
            connectors += count * part.mass
        else:
            others += count * part.mass
    return connectors, others, len(unweighed)

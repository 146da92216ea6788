"""Wires given in groups, as the bundle calculators take them: diameters, masses, a table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.calculators.model import Input, Mistake, Table
from buildbook.calculators.reading import MOST_WIRES, Group, group, listed
from buildbook.calculators.wire_inputs import find_wire

WIRES = Input(
    "wires",
    listed("WIRES", group),
    "the wires by size or by outside diameter, such as '12 x 0.5 mm2, 3 x AWG 12, 2 x 3.4 mm'",
)


@dataclass(frozen=True)
class Alike:
    """Wires that are the same: how many, what, their diameter and mass (None if not known)."""

    count: int
    what: str
    outside_mm: float
    kg_per_m: float | None


def read_groups(groups: Iterable[Group], family: str | None) -> list[Alike] | tuple[Mistake, ...]:
    """The groups with their diameters out of the catalogue; mistakes where a size is not in it."""
    found, mistakes = [], []
    for one in groups:
        if one.outside_mm is not None:
            found.append(Alike(one.count, f"{one.outside_mm:g} mm outside", one.outside_mm, None))
            continue
        assert one.label is not None  # a group has a size where it has no diameter
        wire = find_wire(one.label, family)
        if isinstance(wire, Mistake):
            mistakes.append(Mistake("wires", wire.what, wire.why, wire.hint))
        else:
            conductor, cable = wire.conductor, wire.conductor.cable_mm
            outside = conductor.outside_mm if cable is None else cable
            mass = conductor.kg_per_m if cable is None else None
            found.append(Alike(one.count, f"{one.label} {wire.family.id}", outside, mass))
    total = sum(one.count for one in found)
    if total > MOST_WIRES:
        mistakes.append(Mistake("wires", f"{total} wires are too many; {MOST_WIRES} are allowed"))
    return tuple(mistakes) or found


def diameters(groups: Iterable[Alike]) -> list[float]:
    """Outside diameter of every wire, mm."""
    return [one.outside_mm for one in groups for _ in range(one.count)]


def groups_table(groups: Iterable[Alike]) -> Table:
    """What is in the bundle."""
    rows = [
        (
            f"{one.count}",
            one.what,
            f"{one.outside_mm:g} mm",
            "" if one.kg_per_m is None else f"{1000 * one.kg_per_m:.3g} g/m",
        )
        for one in groups
    ]
    return Table("Wires", ("count", "wire", "outside", "mass"), tuple(rows))

"""Crossings on the example's schematic sheets, against paths in the order of the description."""

from __future__ import annotations

import re
from itertools import combinations

from buildbook.drawing import schematic
from buildbook.drawing.paths import Way, lay_out
from tests.drawing.test_schematic import lines, stretches

PLAIN = Way(ordered=False, spread=False)


def crossings(sheet) -> int:
    """Pairs of wires' lines on a sheet that cross, each place counted, from the SVG."""
    drawn = {**lines(sheet, "wire"), **lines(sheet, "goes-on")}
    parts = [(re.split("-schematic", id_)[0], box) for id_, points in drawn.items()
             for box in stretches(points)]  # fmt: skip
    return sum(
        (a.w > 0) != (b.w > 0) and one != other
        and (level := a if a.w > 0 else b).x < (upright := b if a.w > 0 else a).x < level.right
        and upright.y < level.y < upright.bottom
        for (one, a), (other, b) in combinations(parts, 2)
    )  # fmt: skip


def test_at_most_two_fifths_of_the_crossings_of_the_plain_order(lapwing, monkeypatch) -> None:
    """Each sheet's groups are laid out a second time as the description gives them."""
    searched = {d.name: crossings(d) for s in schematic.schematics(lapwing).values() for d in s}
    monkeypatch.setattr(
        schematic, "lay_out", lambda elements, links, grid, way=None: lay_out(
            elements, links, grid, PLAIN)
    )  # fmt: skip
    plain = {d.name: crossings(d) for s in schematic.schematics(lapwing).values() for d in s}
    print(f"\nsearched {sum(searched.values())}: {searched}\nplain {sum(plain.values())}: {plain}")
    assert sum(searched.values()) <= 0.4 * sum(plain.values())

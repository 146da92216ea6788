"""No wires of the motorcycle cross, and where it has room none bends without a reason."""

from __future__ import annotations

from collections import Counter

import pytest

from buildbook.drawing.schematic import system_sheets
from tests.drawing.legible import TOUCH_MM, WIRES, symbols
from tests.drawing.schematic.test_schematic import sheets_of
from tests.drawing.shared.test_crossing import drawn_crossings
from tests.drawing.svg import Scene, scene
from tests.drawing.svg_outlines import Point

Edge = tuple[float, float, bool]
"""Left and top of a symbol, and whether the upper of its two edges is meant."""


@pytest.fixture(scope="module")
def sheets(motorcycle):
    found = sheets_of(motorcycle)
    assert len(found) >= 3
    return found


def test_no_wire_of_the_motorcycle_crosses_another(sheets) -> None:
    """None is what the best order on paper gives: no path of it has a crossing in every order."""
    assert {sheet.name: drawn_crossings(sheet) for sheet in sheets} == dict.fromkeys(
        (sheet.name for sheet in sheets), 0
    )


def _edge(drawn: Scene, end: Point) -> Edge:
    """The edge of a symbol at which a wire ends."""
    x, y = end
    for thing in symbols(drawn).values():
        if thing.left - 0.1 <= x <= thing.right + 0.1:
            for top, at in ((True, thing.top), (False, thing.bottom)):
                if abs(y - at) <= 0.5:
                    return thing.left, thing.top, top
    raise AssertionError(f"no symbol at {end}")


def _lone_wires(drawn: Scene) -> list[tuple[str, bool]]:
    """Wires that share neither edge at which they end, and whether each is one straight line."""
    lines = {
        s.at.ids[-1]: s.points
        for s in drawn.strokes
        if s.at.classes & WIRES and "core" in s.at.classes
    }
    ends = {id_: (_edge(drawn, p[0]), _edge(drawn, p[-1])) for id_, p in lines.items()}
    met = Counter(edge for pair in ends.values() for edge in pair)
    return [
        (id_, max(x for x, _ in points) - min(x for x, _ in points) <= TOUCH_MM)
        for id_, points in lines.items()
        if all(met[edge] == 1 for edge in ends[id_])
    ]


@pytest.fixture
def roomy(motorcycle, monkeypatch):
    """Every system on sheets of its own, as where each has more wires."""
    monkeypatch.setattr(system_sheets, "SMALL_WIRES", 0)
    found = [sheet for sheets in system_sheets.schematics(motorcycle).values() for sheet in sheets]
    assert len(found) >= 5
    return found


def test_a_wire_of_the_motorcycle_without_another_beside_it_is_straight(roomy) -> None:
    """Of wires that part at one edge some have to step aside; alone at both ends none has to.

    On shared sheets one may step aside for another system's lettering.
    """
    lone = [wire for sheet in roomy for wire in _lone_wires(scene(sheet.svg))]
    assert len(lone) >= 10
    assert [id_ for id_, is_straight in lone if not is_straight] == []

"""A wire's label stands beside the middle of its longest upright stretch where that is free."""

from __future__ import annotations

from buildbook.drawing.schematic.labels import BESIDE_MM, middles
from buildbook.drawing.shared.box import Box
from tests.drawing.schematic.test_schematic import lines, stretches, texts
from tests.once import schematics_of

SIZE = (8.0, 6.0)
LINE = [(10.0, 0.0), (10.0, 40.0)]


def _placed(lines, solid=(), width=100.0):
    given = {id_: (0.0, 90.0) for id_ in lines}
    return middles(lines, given, dict.fromkeys(lines, SIZE), solid, width)


def test_a_free_label_stands_in_the_middle() -> None:
    assert _placed({"a": LINE}) == {"a": (10.0 + BESIDE_MM, 17.0)}


def test_the_longest_stretch_counts() -> None:
    bent = [(0.0, 0.0), (0.0, 10.0), (20.0, 10.0), (20.0, 60.0)]
    assert _placed({"a": bent})["a"] == (20.0 + BESIDE_MM, 32.0)


def test_a_label_gives_way_to_a_line_a_solid_and_another_label() -> None:
    crossing = [(5.0, 20.0), (30.0, 20.0)]
    (x, y) = middles({"a": LINE, "b": crossing}, {"a": (0.0, 90.0)}, {"a": SIZE}, (), 100.0)["a"]
    assert x == 10.0 + BESIDE_MM and (y + SIZE[1] < 20 or y > 20)
    (_, y) = _placed({"a": LINE}, [Box(11, 10, 9, 20)])["a"]
    assert y + SIZE[1] <= 10 or y >= 30
    found = _placed({"a": LINE, "b": [(12.0, 0.0), (12.0, 40.0)]})
    assert found["a"] == (0.0, 90.0), "the other wire is too near all along"


def test_without_a_free_place_the_one_given_stays() -> None:
    assert _placed({"a": LINE}, width=15.0) == {"a": (0.0, 90.0)}
    assert _placed({"a": [(10.0, 0.0), (10.0, 5.0)]}) == {"a": (0.0, 90.0)}


def test_most_wires_of_the_example_are_labelled_by_the_middle_of_a_stretch(lapwing) -> None:
    """Read from the SVG: the number lies within the middle half of an upright stretch."""
    near = count = 0
    for sheets in schematics_of(lapwing).values():
        for sheet in sheets:
            words = {t.split(" ")[0]: b for t, b, _, c in texts(sheet) if c == "wire-label"}
            for id_, line in lines(sheet, "wire").items():
                box = words[id_.removeprefix("wire-").split("-schematic")[0]]
                count += 1
                near += any(
                    s.w == 0
                    and 0 < box.x - s.x < 2
                    and s.y + s.h / 4 < box.bottom < s.y + 3 * s.h / 4
                    for s in stretches(line)
                )
    assert count > 200 and near > count / 2

"""Packing of rectangles on sheets: nothing overlaps, leaves the room, or wastes a sheet."""

from __future__ import annotations

from itertools import combinations
from math import ceil
from random import Random

import pytest

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.packing import pack, spread

ROOM = (250.0, 150.0)


def boxes(sizes, sheet) -> list[Box]:
    return [Box(x, y, *sizes[n]) for n, x, y in sheet]


def assert_sound(sizes, sheet, gap: float) -> None:
    """Inside the room, and every pair apart by the gap along one axis."""
    found = boxes(sizes, sheet)
    assert all(Box(0, 0, *ROOM).holds(b) for b in found)
    assert not any(a.overlaps(b, gap - 1e-6) for a, b in combinations(found, 2))


@pytest.mark.parametrize("seed", range(20))
def test_every_rectangle_is_placed_once_and_clear_of_the_others(seed: int) -> None:
    random = Random(seed)
    sizes = [(random.uniform(15, 120), random.uniform(15, 140)) for _ in range(25)]
    sheets = pack(sizes, ROOM, 4)
    assert sorted(n for sheet in sheets for n, _, _ in sheet) == list(range(25))
    for sheet in sheets:
        assert_sound(sizes, sheet, 4)
        wide = spread(sizes, sheet, ROOM, 4, 25)
        assert [n for n, _, _ in wide] == [n for n, _, _ in sheet]
        assert_sound(sizes, wide, 4)


@pytest.mark.parametrize("seed", range(20))
def test_no_more_sheets_than_twice_what_the_area_asks_for(seed: int) -> None:
    """Groups of a quarter of a sheet or less fill more than half of every sheet but one."""
    random = Random(seed)
    sizes = [(random.uniform(15, 60), random.uniform(20, 70)) for _ in range(40)]
    area = sum((w + 4) * (h + 4) for w, h in sizes)
    assert len(pack(sizes, ROOM, 4)) <= ceil(2 * area / (ROOM[0] * ROOM[1]))


def test_short_groups_stand_below_each_other_instead_of_on_a_second_sheet() -> None:
    """One tall group beside eight short ones: four columns of two fit in what is left."""
    sheets = pack([(46.0, 150.0), *[(46.0, 73.0)] * 8], ROOM, 4)
    assert len(sheets) == 1


def test_a_second_sheet_is_filled_about_as_much_as_the_first() -> None:
    """Eleven equal groups, ten to a sheet: five and six, not ten and one."""
    sheets = pack([(46.0, 73.0)] * 11, ROOM, 4)
    assert sorted(len(sheet) for sheet in sheets) == [5, 6]


def test_what_must_come_first_is_at_the_corner_of_the_first_sheet() -> None:
    sheets = pack([(100.0, 140.0), (200.0, 140.0), (40.0, 30.0)], ROOM, 4, first=[2])
    assert sheets[0][0] == (2, 0.0, 0.0)


def test_spreading_uses_the_room() -> None:
    """Three of 50 mm in 250 mm leave 100 mm for two gaps; no gap grows past the most allowed."""
    sheet = pack([(50.0, 100.0)] * 3, ROOM, 4)[0]
    at = [x for _, x, _ in spread([(50.0, 100.0)] * 3, sheet, ROOM, 4, 80)]
    assert sorted(at) == pytest.approx([0, 100, 200], abs=0.01)
    at = [x for _, x, _ in spread([(50.0, 100.0)] * 3, sheet, ROOM, 4, 20)]
    assert sorted(at) == pytest.approx([0, 70, 140], abs=0.01)


def test_what_is_larger_than_the_room_stands_in_the_corner_of_a_sheet() -> None:
    sizes = [(20.0, 20.0), (300.0, 20.0), (300.0, 160.0)]
    sheets = pack(sizes, ROOM, 4)
    assert {spot for sheet in sheets for spot in sheet} >= {(1, 0.0, 0.0), (2, 0.0, 0.0)}
    for sheet in sheets:
        found = boxes(sizes, sheet)
        assert not any(a.overlaps(b) for a, b in combinations(found, 2))

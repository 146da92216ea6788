"""Keeping labels clear: every box in the way is found, wherever on the sheet it lies."""

from __future__ import annotations

import random

import pytest

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.clear import crosses


def meet(a: Box, b: Box, gap: float) -> bool:
    """Whether two boxes are nearer than a gap, across and down (geometry)."""
    return abs(a.x + a.w / 2 - b.x - b.w / 2) < (a.w + b.w) / 2 + gap and (
        abs(a.y + a.h / 2 - b.y - b.h / 2) < (a.h + b.h) / 2 + gap
    )


@pytest.mark.parametrize("seed", range(4))
def test_a_box_is_free_where_no_box_kept_is_nearer_than_the_gap(seed):
    rng = random.Random(seed)
    canvas, kept, found = Canvas(200, 150), [], set()
    for _ in range(300):
        x, y = rng.uniform(-20, 200), rng.uniform(-20, 150)
        box = Box(x, y, rng.choice([0.0, 1, 9, 35]), rng.choice([0.5, 3, 40]))
        gap = rng.choice([0.0, 0.3, 2])
        free = canvas.is_free(box, gap)
        assert free == (not any(meet(box, other, gap) for other in kept))
        found.add(free)
        if rng.random() < 0.2:
            canvas.block(box)
            kept.append(box)
    assert found == {True, False}


def test_lettering_is_in_the_way_of_lettering():
    canvas = Canvas(100, 50)
    written = canvas.text(60, 20, "at 350")
    assert not canvas.is_free(Box(written.right - 0.1, 19, 5, 1))
    assert canvas.is_free(Box(written.right + 0.5, 19, 5, 1))


@pytest.mark.parametrize("seed", range(4))
def test_a_line_crosses_a_box_where_a_point_of_it_lies_inside(seed):
    """Against two thousand points along the line: what lies deeper than their distance is hit."""
    rng = random.Random(seed)
    box, told = Box(3.0, 2.0, 4.0, 3.0), set()
    for _ in range(150):
        a, b = [(rng.uniform(-2, 12), rng.uniform(-2, 9)) for _ in "ab"]
        points = [
            (a[0] + (b[0] - a[0]) * n / 2000, a[1] + (b[1] - a[1]) * n / 2000) for n in range(2001)
        ]
        deepest = max(min(x - box.x, box.right - x, y - box.y, box.bottom - y) for x, y in points)
        if abs(deepest) > 0.02:
            assert crosses(a, b, box) == (deepest > 0)
            told.add(deepest > 0)
    assert told == {True, False}

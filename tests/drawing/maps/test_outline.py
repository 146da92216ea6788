"""The vehicle from above: drawn as what it is, within its length and width, alike on both sides."""

from __future__ import annotations

from typing import get_args

import pytest

from buildbook.description.models import Plan
from buildbook.drawing.maps.cover import cover_plans
from buildbook.drawing.maps.plan import plans
from tests.bench.drilled import drilled
from tests.drawing.reading import faults, letterings, points, shapes

OUTLINES = get_args(Plan.model_fields["outline"].annotation)
OTHERS = [name for name in OUTLINES if name != "car"]


def car(outline):
    """The bench car, 4 m by 1.6 m, with another body."""
    return drilled(("\nplan:\n", f"\nplan:\n  outline: {outline}\n  axles: [700 mm, 3200 mm]\n"))


def body(drawing):
    return [points(line) for line in shapes(drawing, "polyline", "outline")]


def test_without_a_word_it_is_a_car():
    assert Plan.model_fields["outline"].default == "car"
    (sheet,) = plans(drilled())
    assert len(shapes(sheet, "path", "outline")) == 1 and not body(sheet)


@pytest.mark.parametrize("outline", OTHERS)
def test_each_body_is_its_own_within_length_and_width(outline):
    """At 1:N on the sheet: 4000 / N by 1600 / N, and the full length or width is reached."""
    (sheet,) = plans(car(outline))
    scale = next(float(t.text[2:]) for t in letterings(sheet) if t.text.startswith("1:"))
    xs, ys = zip(*(spot for line in body(sheet) for spot in line), strict=True)
    wide, deep = 4000 / scale, 1600 / scale
    assert max(xs) - min(xs) <= wide + 0.5 and max(ys) - min(ys) <= deep + 0.01
    assert max(xs) - min(xs) > wide - 0.5 or max(ys) - min(ys) > deep - 0.01
    assert not shapes(sheet, "path", "outline")


@pytest.mark.parametrize("outline", OTHERS)
def test_both_sides_are_alike_and_no_two_bodies_are(outline):
    (sheet,) = plans(car(outline))
    lines = body(sheet)
    middle = sum(y for line in lines for _, y in line) / sum(len(line) for line in lines)
    for line in lines:
        mirrored = [pytest.approx((x, 2 * middle - y), abs=0.02) for x, y in line]
        assert mirrored in lines
    assert all(body(plans(car(other))[0]) != lines for other in OTHERS if other != outline)


@pytest.mark.parametrize("outline", OUTLINES)
def test_plan_and_cover_are_legible(outline):
    drawings = [*plans(car(outline)), *cover_plans(car(outline))]
    assert [fault for drawing in drawings for fault in faults(drawing)] == []
    assert [drawing.left_out for drawing in drawings if drawing.left_out] == []
    assert len(drawings) == 2


def test_a_wheel_in_the_middle_is_as_narrow_as_a_motorcycles():
    """0.13 m for 0.2 m."""
    narrow, wide = (
        {float(w.get("height")) for w in shapes(plans(car(name))[0], "rect", "wheel")}
        for name in ("motorcycle", "car")
    )
    assert len(narrow) == len(wide) == 1
    assert narrow.pop() / wide.pop() == pytest.approx(0.13 / 0.2, rel=0.01)

"""Bulkheads to drill: every hole once, at its true size and place, with nothing over another."""

from __future__ import annotations

import math

import pytest

from buildbook.drawing.maps.drilling import DEEP_MM, drillings
from buildbook.drawing.maps.elevation import apart
from buildbook.words.say import in_language
from tests.bench.drilled import drilled
from tests.drawing.reading import faults, letterings, shapes

HOSES = (
    "        fuel hose: {hole: 22 mm, at: [350 mm, 420 mm]}\n        heater hose: {hole: 1 in}\n"
)
MANY = "".join(
    f"        pipe {n}: {{hole: {8 + 2 * (n % 20)} mm, at: [{-600 + 90 * (n % 13)} mm, "
    f"{200 + 110 * (n // 13)} mm]}}\n"
    for n in range(39)
)
NEAR = "        hose: {hole: 22 mm, at: [210 mm, 600 mm]}\n"
CLOSE = "        brake pipe: {hole: 12 mm, at: [352 mm, 421 mm]}\n"


def sheets(*changes):
    (found,) = drillings(drilled(*changes)).values()
    return found


def circles(drawing):
    """Number of the hole -> (centre, radius) of each circle drawn of it."""
    found: dict[str, list[tuple[float, float, float]]] = {}
    for circle in shapes(drawing, "circle", "hole"):
        at = tuple(float(circle.get(key)) for key in ("cx", "cy", "r"))
        found.setdefault(circle.get("data-hole"), []).append(at)
    return found


def test_each_hole_is_drawn_at_full_size_and_placed_ones_on_the_wall_too():
    """X1 38 mm, hoses of 22 and 25.4 mm; the wall at 1:8, as the 461 mm from the datum ask."""
    (drawing,) = sheets()
    found = circles(drawing)
    assert {n: max(r for *_, r in rings) for n, rings in found.items()} == {
        "1": 19.0,
        "2": 11.0,
        "3": 12.7,
    }
    assert {n: len(rings) for n, rings in found.items()} == {"1": 2, "2": 2, "3": 1}
    (ax, ay, _), (bx, by, _) = (min(found[n], key=lambda ring: ring[2]) for n in "12")
    assert (bx - ax, by - ay) == pytest.approx((200 / 8, 200 / 8), abs=0.01)


def test_cross_hairs_meet_in_the_centre_and_reach_past_the_hole():
    (drawing,) = sheets()
    rings = [ring for found in circles(drawing).values() for ring in found]
    lines = [
        [tuple(map(float, p.split(","))) for p in line.get("points").split()]
        for line in shapes(drawing, "polyline", "centre")
    ]
    for x, y, r in rings:
        own = [a_b for a_b in lines if math.dist(middle(a_b), (x, y)) < 0.01]
        assert len(own) == 2 and all(math.dist(*line) > 2 * r for line in own)


def middle(line):
    (ax, ay), (bx, by) = line
    return (ax + bx) / 2, (ay + by) / 2


def test_holes_that_go_on_the_paper_stand_at_their_true_distance():
    """60 mm to the right of X1 and 20 below it, and no second time by itself."""
    (drawing,) = sheets((HOSES, NEAR))
    ((ax, ay, _),), ((bx, by, _),) = (circles(drawing)[n] for n in "12")
    assert (bx - ax, by - ay) == pytest.approx((60.0, 20.0), abs=0.01)
    texts = [t.text for t in letterings(drawing)]
    assert {"250", "310", "120", "100"} <= set(texts) and "datum" not in texts
    assert len(shapes(drawing, "rect", "keyway")) == 1


@pytest.mark.parametrize("instead", [HOSES, NEAR, HOSES + CLOSE, MANY])
@pytest.mark.parametrize("language", ["en", "de"])
def test_drawings_are_legible_and_say_every_number(instead, language):
    with in_language(language):
        found = sheets((HOSES, instead))
    assert [fault for drawing in found for fault in faults(drawing)] == []
    assert [drawing.left_out for drawing in found if drawing.left_out] == []
    assert all(drawing.height_mm <= DEEP_MM + 10 for drawing in found)


def test_many_holes_go_on_as_many_sheets_as_they_need():
    found = sheets((HOSES, MANY))
    sizes = [max(r for *_, r in rings) for d in found for rings in circles(d).values()]
    assert len(found) > 1
    assert {8 / 2, 46 / 2, 38 / 2} <= set(sizes)
    drawn = {n for drawing in found for n in circles(drawing)}
    assert drawn == {str(n) for n in range(1, 41)}


def test_the_bar_is_a_hundred_millimetres():
    (drawing,) = sheets()
    (bar,) = shapes(drawing, "polyline", "bar")
    (ax, _), (bx, _) = (tuple(map(float, p.split(","))) for p in bar.get("points").split())
    assert bx - ax == 100.0


@pytest.mark.parametrize(("keyway", "turn"), [("left", 1), ("right", -1)])
def test_the_key_stands_as_it_is_seen_looking_forward(keyway, turn):
    (drawing,) = sheets(("keyway: left", f"keyway: {keyway}"))
    (key,) = shapes(drawing, "rect", "keyway")
    x, _, r = max(circles(drawing)["1"], key=lambda ring: ring[2])
    beside = x - (float(key.get("x")) + float(key.get("width")) / 2)
    assert beside * turn > r / 2


def test_figures_are_moved_apart_no_more_than_they_need():
    assert apart([0, 1, 20], [4, 4, 4]) == [-1.5, 2.5, 20]
    assert apart([0, 10], [4, 4]) == [0, 10]

"""Where wires cross is found from their lines, and the wire below is drawn with a gap there."""

from __future__ import annotations

import random
import re
from itertools import combinations, pairwise

import pytest

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.crossing import Crossing, crossings
from buildbook.drawing.shared.wire import GAP_MM, WIRE_MM, _strokes_over, passed_over
from tests.drawing.schematic.test_schematic import lines, stretches
from tests.drawing.svg import scene
from tests.once import schematics_of


def drawn_crossings(sheet) -> int:
    """Pairs of wires' lines on a sheet that cross, each place counted, from the SVG."""
    drawn = {**lines(sheet, "wire"), **lines(sheet, "goes-on")}
    parts = [
        (re.split("-schematic", id_)[0], box)
        for id_, points in drawn.items()
        for box in stretches(points)
    ]
    return sum(
        (a.w > 0) != (b.w > 0)
        and one != other
        and (level := a if a.w > 0 else b).x < (upright := b if a.w > 0 else a).x < level.right
        and upright.y < level.y < upright.bottom
        for (one, a), (other, b) in combinations(parts, 2)
    )


def test_a_level_wire_passes_over_an_upright_one_and_not_over_what_it_only_touches() -> None:
    drawn = {
        "level": [(0.0, 5.0), (10.0, 5.0)],
        "through": [(4.0, 0.0), (4.0, 9.0)],
        "ends on it": [(6.0, 0.0), (6.0, 5.0)],
        "at its end": [(10.0, 0.0), (10.0, 9.0)],
        "beside": [(12.0, 0.0), (12.0, 9.0)],
    }
    assert list(crossings(drawn)) == [Crossing("level", (4.0, 5.0), 0.0, 9.0)]


def test_a_wire_does_not_cross_itself() -> None:
    assert not list(crossings({"a": [(0, 5), (9, 5), (9, 0), (4, 0), (4, 9)]}))


def test_random_lines_cross_where_every_pair_of_stretches_says_so() -> None:
    chance = random.Random(7)
    drawn = {}
    for n in range(40):
        x, y = chance.uniform(0, 99), chance.uniform(0, 99)
        u, v = chance.uniform(0, 99), chance.uniform(0, 99)
        drawn[str(n)] = [(x, y), (u, y), (u, v)]
    parts = [(id_, a, b) for id_, line in drawn.items() for a, b in pairwise(line)]
    wanted = set()
    for (one, a, b), (other, c, d) in combinations(parts, 2):
        level, upright = ((one, a, b), (c, d)) if a[1] == b[1] else ((other, c, d), (a, b))
        (name, p, q), (r, s) = level, upright
        if one != other and p[1] == q[1] and r[0] == s[0]:
            (left, right), (top, foot) = sorted((p[0], q[0])), sorted((r[1], s[1]))
            if left < r[0] < right and top < p[1] < foot:
                wanted.add((name, (r[0], p[1])))
    assert {(o.wire, o.at) for o in crossings(drawn)} == wanted and len(wanted) > 50


def test_a_tracer_goes_on_in_step_where_its_wire_passes_over_another() -> None:
    """Strokes of 2.4 mm every 3.6 mm from the wire's start, with round ends of 0.13 mm."""
    right, left = [(0.0, 0.0), (0.0, 5.0), (20.0, 5.0)], [(20.0, 0.0), (20.0, 5.0), (0.0, 5.0)]
    (found,) = _strokes_over(right, (10.0, 5.0))
    assert found == pytest.approx((14.4 - 0.13 - 5, 11.0)), "the fifth stroke begins at 14.4 mm"
    (found,) = _strokes_over(left, (10.0, 5.0))
    assert found == pytest.approx((9.0, 25 - (14.4 - 0.13)))
    assert len(list(_strokes_over(right, (8.4, 5.0)))) == 2, "13.4 mm along lies between strokes"


def test_no_crumb_is_left_between_a_gap_and_a_corner_near_it() -> None:
    """A track is 1.8 mm: the corner of the wire below keeps half a millimetre up to the gap."""
    canvas, level = Canvas(40, 40), [(0.0, 20.0), (40.0, 20.0)]
    passed_over(canvas, level, Crossing("a", (20.0, 20.0), 18.2, 40.0), "RD", canvas.group())
    (white,) = [a for a in scene(canvas.drawing("d", "t").svg).areas if a.colour == "#ffffff"]
    heights = [y for _, y in white.points]
    assert 18.2 + WIRE_MM / 2 + 0.5 <= min(heights) < 20 - WIRE_MM / 2
    assert max(heights) == pytest.approx(20 + GAP_MM / 2)


def test_every_crossing_of_a_sheet_has_its_gap(lapwing) -> None:
    """As many with white in them, read from the SVG, as places where lines cross there."""
    gaps = 0
    for sheets in schematics_of(lapwing).values():
        for sheet in sheets:
            crossed = drawn_crossings(sheet)
            white = {
                a.at.group
                for a in scene(sheet.svg).areas
                if "crossing" in a.at.classes and a.colour == "#ffffff"
            }
            assert len(white) == crossed, sheet.name
            gaps += crossed
    assert gaps

"""Harness layouts: true lengths on the board, nothing crossing, every length written."""

from __future__ import annotations

import math
import random
import re
from dataclasses import replace
from itertools import combinations, pairwise, product

import pytest

from buildbook.drawing.harness import layout as layout_room
from buildbook.drawing.harness.board import BEND_MM, lay_on_board, line_mm, part_of, walk
from buildbook.drawing.harness.full_size import full_size
from buildbook.drawing.harness.layout import layout, layouts
from buildbook.drawing.harness.rope_tree import fixtures, rope_tree
from buildbook.harness.datum import datum_of, from_datum_mm
from buildbook.problem import Where
from buildbook.vehicle.model import Run
from tests.conftest import TESTS
from tests.drawing.generated import worked_out
from tests.drawing.legible import bounds, faults_of
from tests.drawing.reading import faults, letterings, points, shapes
from tests.drawing.svg import scene
from tests.once import once

layouts_of = once(layouts)

BOARD = (2400.0, 1200.0)


def run(a: str, b: str, length_m: float) -> Run:
    return Run(f"{a}-{b}", "h", a, b, length_m, "z", False, 0, Where("v.yaml"))


def runs_of(result, harness):
    return [r for r in result.vehicle.runs if r.harness == harness]


def scale_of(drawing) -> float:
    """As the title block says it, or the strip under a figure."""
    texts = " ".join(t.text for t in letterings(drawing))
    (said,) = re.findall(r"(?<!\S)1:([\d.]+)", texts)
    return float(said)


def made_up(count: int, seed: int) -> list[Run]:
    """A rope: each point hangs off one of the five before it, lengths 20 mm to 1.4 m."""
    rng = random.Random(seed)
    runs, names = [], ["start of the rope"]
    for n in range(1, count):
        length = rng.choice([0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.9, 1.4])
        runs.append(run(rng.choice(names[-5:]), f"point {n}", length))
        names.append(f"point {n}")
    return runs


def cross(a, b, c, d) -> bool:
    """True where segments ab and cd meet other than at a shared end."""
    if {a, b} & {c, d}:
        return False

    def side(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def crossings(formboard) -> list:
    rounded = [[(round(x, 4), round(y, 4)) for x, y in path] for path in formboard.paths.values()]
    segments = [pair for path in rounded for pair in pairwise(path)]
    return [(s, t) for s, t in combinations(segments, 2) if cross(*s, *t)]


def test_trunk_goes_the_longest_way_from_the_end_measured_first():
    runs = [run("a", "b", 1), run("b", "c", 0.2), run("b", "d", 0.5), run("d", "e", 0.1)]
    tree = rope_tree(runs)
    assert tree.trunk == ("a", "b", "d", "e")
    assert tree.children["b"] == ("c",)
    assert from_datum_mm(runs) == {"a": 0, "b": 1000, "c": 1200, "d": 1500, "e": 1600}


def test_trunk_is_the_longest_way_of_all_where_the_author_began_in_the_middle():
    runs = [run("b", "a", 1), run("b", "c", 0.2), run("b", "d", 0.5)]
    assert set(rope_tree(runs).trunk) == {"a", "b", "d"}
    assert datum_of(runs) == "b"


def test_a_bend_is_an_arc_of_its_radius():
    """A quarter turn about a point: all of it a radius away (geometry)."""
    path = walk((0.0, 0.0), 0.0, [("go", 100.0), ("turn", 90.0)], 250.0)
    assert line_mm(path) == pytest.approx(250.0)
    assert path[-1][0] == pytest.approx(100.0 + BEND_MM, abs=0.2)
    arc = part_of(path, 100.0, 100.0 + BEND_MM * math.pi / 2)
    away = [math.dist(p, (100.0, BEND_MM)) for p in arc]
    assert away == pytest.approx([BEND_MM] * len(away), abs=0.1)


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_every_run_lies_on_the_board_at_its_true_length(vehicle, request):
    result = request.getfixturevalue(vehicle)
    for harness in result.vehicle.description.rope:
        runs = runs_of(result, harness)
        formboard = lay_on_board(runs, BOARD)
        assert not formboard.needs_more
        for r in runs:
            path = formboard.paths[r.id]
            assert line_mm(path) == pytest.approx(r.length_m * 1000, abs=0.01)
            assert path[0] == pytest.approx(formboard.places[r.from_point])
            assert path[-1] == pytest.approx(formboard.places[r.to_point])
            assert all(0 < x < BOARD[0] and 0 < y < BOARD[1] for x, y in path)
        assert crossings(formboard) == []


@pytest.mark.parametrize("count,seed", [(2, 1), (12, 2), (25, 3), (40, 4)])
def test_any_rope_lies_at_true_length_and_nothing_crosses(count, seed):
    runs = made_up(count, seed)
    formboard = lay_on_board(runs, BOARD)
    assert set(formboard.paths) == {r.id for r in runs}
    for r in runs:
        assert line_mm(formboard.paths[r.id]) == pytest.approx(r.length_m * 1000, abs=0.01)
    assert crossings(formboard) == []
    extent = formboard.extent()
    assert (
        extent.x >= 0 and extent.right <= formboard.board.w and extent.bottom <= formboard.board.h
    )


def test_a_trunk_longer_than_the_board_is_folded():
    runs = [run(f"p{n}", f"p{n + 1}", 0.7) for n in range(6)]
    formboard = lay_on_board(runs, BOARD)
    assert formboard.rows == 2 and not formboard.needs_more
    assert lay_on_board(runs[:3], BOARD).rows == 1


def test_a_harness_too_large_for_the_board_says_so():
    runs = [run("hub", f"end {n}", 2.5) for n in range(6)]
    formboard = lay_on_board(runs, (600.0, 400.0))
    assert formboard.needs_more and formboard.board.w > 600
    assert crossings(formboard) == []


def test_the_same_rope_lies_the_same():
    runs = made_up(25, 3)
    assert lay_on_board(runs, BOARD) == lay_on_board(runs, BOARD)


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_every_run_is_to_scale_with_its_length_beside_it(vehicle, request):
    result = request.getfixturevalue(vehicle)
    for harness, (drawing,) in layouts_of(result).items():
        scale, runs = scale_of(drawing), runs_of(result, harness)
        texts = [t.text for t in letterings(drawing)]
        lines = shapes(drawing, "polyline", "run")
        assert len(lines) == len(runs)
        for line, r in zip(lines, runs, strict=True):
            assert line_mm(points(line)) == pytest.approx(r.length_m * 1000 / scale, abs=0.05)
            figure = f"{r.length_m * 1000:.0f}"
            assert {figure, f"{figure} ≈"} & set(texts), (harness, r.id)


def test_points_say_how_far_from_the_datum_they_are(lapwing):
    """Read off the tape: panel to C1 350 mm, C1 to C2 520 mm, C2 to the display 380 mm."""
    texts = [t.text for t in letterings(*layouts_of(lapwing)["cabin"])]
    assert {"datum, 0", "at 350", "at 870", "at 1250"} <= set(texts)


def test_estimated_runs_are_dashed_and_say_so(lapwing):
    for harness, (drawing,) in layouts_of(lapwing).items():
        estimated = sum(r.estimated for r in runs_of(lapwing, harness))
        dashed = [e for e in shapes(drawing, "polyline", "run") if e.get("stroke-dasharray")]
        said = [t for t in letterings(drawing) if t.text.endswith(" ≈")]
        assert len(dashed) == len(said) == estimated
        note = any("cut long, trim to fit" in t.text for t in letterings(drawing))
        assert note == bool(estimated)
    assert any(r.estimated for r in lapwing.vehicle.runs)


def test_every_clamp_is_a_stroke(lapwing):
    for harness, (drawing,) in layouts_of(lapwing).items():
        clamps = sum(r.clamps for r in runs_of(lapwing, harness))
        assert len(shapes(drawing, "polyline", "clamp")) == clamps


def test_points_splices_and_fixtures_are_named(lapwing):
    for harness, (drawing,) in layouts_of(lapwing).items():
        words = " ".join(t.text for t in letterings(drawing)).replace(",", " ").split()
        ends = {p for r in runs_of(lapwing, harness) for p in (r.from_point, r.to_point)}
        assert ends <= set(words)
        splices = lapwing.harness.splices.values()
        assert {s.id for s in splices if s.harness == harness} <= set(words)


def test_fixtures_on_a_panel_are_named_as_the_panel(lapwing):
    (panel,) = lapwing.vehicle.all_of("panel")
    at = [fixtures(lapwing, h).get(panel.point, []) for h in lapwing.vehicle.description.rope]
    assert any(panel.id in held for held in at)
    assert not any("F1" in held for held in at)


@pytest.mark.parametrize("count", [2, 12, 40])
def test_any_rope_is_drawn_without_overlap(two_wire, count):
    (harness,) = two_wire.vehicle.description.rope
    runs = tuple(replace(r, harness=harness) for r in made_up(count, count))
    result = replace(two_wire, vehicle=replace(two_wire.vehicle, runs=runs))
    drawing = layout(result, harness)
    assert faults(drawing) == []
    names = {p for r in runs for p in (r.from_point, r.to_point)}
    assert names <= {t.text for t in letterings(drawing)}


def test_full_size_drawings_overlap_nowhere_and_dimension_straight_runs(lapwing):
    for harness in ("engine", "rear"):
        drawing = full_size(lapwing, harness).drawing
        assert faults(drawing) == []
        drawn = [math.dist(*points(e)) for e in shapes(drawing, "polyline", "dimension")]
        lengths = [r.length_m * 1000 for r in runs_of(lapwing, harness)]
        assert drawn
        for length in drawn:
            assert min(abs(length - true) for true in lengths) < 0.01
        assert len(shapes(drawing, "path", "splice")) == sum(
            s.harness == harness for s in lapwing.harness.splices.values()
        )


def test_a_longer_run_is_drawn_longer(lapwing):
    runs = lapwing.vehicle.runs
    last = next(r for r in runs if r.harness == "rear")
    longer = tuple(replace(r, length_m=r.length_m + 1) if r is last else r for r in runs)
    vehicle = replace(lapwing.vehicle, runs=longer)
    drawn = layout(replace(lapwing, vehicle=vehicle), "rear")
    texts = [t.text for t in letterings(drawn)]
    assert any(t.startswith(f"{last.length_m * 1000 + 1000:.0f}") for t in texts)


def test_a_sheet_grows_where_the_labels_find_no_room(two_wire, monkeypatch):
    real = layout_room.label_all

    def label_all(plot, labels):
        return real(plot, labels) if plot.canvas.width > 400 else None

    monkeypatch.setattr(layout_room, "label_all", label_all)
    drawing = layout_room.layout(two_wire, next(iter(two_wire.vehicle.description.rope)))
    assert drawing.width_mm == pytest.approx(2 * 267.0)


def test_leaders_of_the_example_cross_no_rope_and_never_each_other(lapwing):
    """23 before leaders looked for a way round. One that begins on its own rope crosses nothing:
    its first 0.02 mm, more than figures are rounded by, are left out."""
    across, count = [], 0
    for drawing in [d for (d,) in layouts_of(lapwing).values()]:
        drawn = scene(drawing.svg).strokes
        leaders = [s for s in drawn if "leader" in s.at.classes]
        ropes = [s for s in drawn if s.at.classes & {"run", "board"}]
        count += len(leaders)
        for leader, other in product(leaders, ropes + leaders):
            begin, end = leader.points
            share = 0.02 / math.dist(begin, end)
            begin = tuple(a + (b - a) * share for a, b in zip(begin, end, strict=True))
            if any(cross(begin, end, c, d) for c, d in pairwise(other.points)):
                across.append((drawing.name, leader.points, other.points))
    assert count > 20 and not across


def test_a_splice_at_a_breakout_leaves_its_ring_to_be_seen(lapwing):
    for harness in ("cabin", "engine", "bumper"):
        drawn = scene(layout(lapwing, harness).svg)
        diamonds = [bounds(s.points) for s in drawn.strokes if "splice" in s.at.classes]
        points = [
            bounds(s.points)
            for s in drawn.strokes
            if s.at.classes & {"breakout", "connector", "end"}
        ]
        on_points = [(d, p) for d, p in product(diamonds, points) if d.meets(p)]
        assert on_points
        assert all(not d.holds(p) for d, p in on_points)


def test_a_layout_uses_the_width_of_its_sheet(lapwing):
    """2310 mm of rope go on 267 mm of paper at 1 : 10."""
    (cabin,) = layouts_of(lapwing)["cabin"]
    assert cabin.is_sheet and scale_of(cabin) == 10


def test_a_small_harness_is_a_figure_among_text(lapwing):
    """Less than half a page high, as wide as the text of A4, every word at the size of a sheet's,
    and no leader across a rope."""
    (sheet,), figures = layouts_of(lapwing)["cabin"], []
    for harness in ("power", "gearbox", "rear"):
        (drawing,) = layouts_of(lapwing)[harness]
        assert not drawing.is_sheet and drawing.width_mm == 210 - 18 - 14
        assert drawing.height_mm < (297 - 28 - 7) / 2
        figures.append(drawing)
    sizes = [{t.size for t in scene(d.svg).texts} for d in (sheet, *figures)]
    assert all(min(found) >= min(sizes[0]) for found in sizes[1:])


def test_the_longest_run_is_drawn_to_a_scale_that_holds_it(tmp_path):
    """Of 100 m, the most there may be: laid to and fro over the board, which the sheet holds."""
    text = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text(encoding="utf-8")
    assert text.count("length: 2.4 m,") == 1
    long = text.replace("length: 2.4 m,", "length: 100 m,")
    (tmp_path / "vehicle.yaml").write_text(long, encoding="utf-8")
    result = worked_out(tmp_path)
    (drawing,) = layouts(result)["main"]
    (line,) = shapes(drawing, "polyline", "run")
    assert line_mm(points(line)) == pytest.approx(100_000.0 / scale_of(drawing), rel=0.001)
    assert faults_of(drawing.svg) == []

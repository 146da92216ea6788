"""Harness layouts: true proportions, every run's length written, marks where they belong."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from buildbook.drawing import layout as layout_room
from buildbook.drawing.layout import fixtures, layout, layouts, rope_tree, spread
from buildbook.problem import Where
from buildbook.vehicle.model import Run
from tests.drawing.reading import faults, letterings, points, shapes


def run(a: str, b: str, length_m: float) -> Run:
    return Run(f"{a}-{b}", "h", a, b, length_m, "z", False, 0, Where("v.yaml"))


def runs_of(result, harness):
    return [r for r in result.vehicle.runs if r.harness == harness]


def scale_of(drawing) -> float:
    note = next(t.text for t in letterings(drawing) if t.text.startswith("Scale 1 :"))
    return float(note.split(":")[1].split(",")[0])


def test_trunk_is_the_longest_way_through():
    tree = rope_tree([run("a", "b", 1), run("b", "c", 0.2), run("b", "d", 0.5), run("d", "e", 0.1)])
    assert set(tree.trunk) == {"a", "b", "d", "e"}
    assert tree.children["b"] == ("c",)


def test_longest_way_on_stands_between_its_neighbours():
    tree = rope_tree([run("a", "b", 5), run("b", "z", 5), run("b", "c", 1), run("c", "d", 0.1),
                      run("c", "e", 0.9), run("c", "f", 0.2)])  # fmt: skip
    assert tree.leaves("c") == ["f", "e", "d"]


def test_columns_never_overlap_and_stay_where_they_fit():
    assert spread([10, 50], [4, 4], 0, 100) == [10, 50]
    close = spread([50, 50, 50], [4, 6, 4], 0, 100)
    assert close == pytest.approx([45, 50, 55])
    assert spread([99, 99], [4, 4], 0, 100) == pytest.approx([94, 98])


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_every_run_is_to_scale_or_marked(vehicle, request):
    result = request.getfixturevalue(vehicle)
    for harness, drawing in layouts(result).items():
        scale, runs = scale_of(drawing), runs_of(result, harness)
        texts = [t.text for t in letterings(drawing)]
        lines = shapes(drawing, "polyline", "run")
        assert len(lines) == len(runs)
        for line, r in zip(lines, runs, strict=True):
            (ax, ay), (bx, by) = points(line)
            true = r.length_m * 1000 / scale
            marked = abs(math.hypot(ax - bx, ay - by) - true) > max(0.5, 0.03 * true) + 0.005
            figure = f"{r.length_m * 1000:.0f}"
            shown = {figure + end for end in (("*", "* est.") if marked else ("", "*", " est.",
                                                                             "* est."))}
            assert shown & set(texts), (harness, r.id)


def test_most_runs_are_drawn_true(lapwing):
    texts = [t.text for d in layouts(lapwing).values() for t in letterings(d)]
    marked = sum(t.endswith(("*", "* est.")) and t[0].isdigit() for t in texts)
    assert marked < 0.3 * len(lapwing.vehicle.runs)


def test_estimated_runs_are_dashed_and_say_so(lapwing):
    for harness, drawing in layouts(lapwing).items():
        estimated = sum(r.estimated for r in runs_of(lapwing, harness))
        dashed = [e for e in shapes(drawing, "polyline", "run") if e.get("stroke-dasharray")]
        said = [t for t in letterings(drawing) if t.text.endswith(" est.")]
        assert len(dashed) == len(said) == estimated
        note = any("cut long, trim to fit" in t.text for t in letterings(drawing))
        assert note == bool(estimated)
    assert any(r.estimated for r in lapwing.vehicle.runs)


def test_every_clamp_is_a_stroke(lapwing):
    for harness, drawing in layouts(lapwing).items():
        clamps = sum(r.clamps for r in runs_of(lapwing, harness))
        assert len(shapes(drawing, "polyline", "clamp")) == clamps


def test_points_splices_and_fixtures_are_named(lapwing):
    for harness, drawing in layouts(lapwing).items():
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


def test_a_longer_run_is_drawn_longer(lapwing):
    runs = lapwing.vehicle.runs
    last = next(r for r in runs if r.harness == "rear")
    longer = tuple(replace(r, length_m=r.length_m + 1) if r is last else r for r in runs)
    vehicle = replace(lapwing.vehicle, runs=longer)
    drawn = layout(replace(lapwing, vehicle=vehicle), "rear")
    texts = [t.text.rstrip("*") for t in letterings(drawn)]
    assert any(t.startswith(f"{last.length_m * 1000 + 1000:.0f}") for t in texts)


@pytest.mark.parametrize("count", [2, 12, 40])
def test_any_rope_is_laid_out_without_overlap(two_wire, count):
    """A made-up rope: each point hangs off one of the five before it, lengths 20 mm to 1.4 m."""
    rng = random.Random(count)
    (harness,) = two_wire.vehicle.description.rope
    runs, names = [], ["start of the rope"]
    for n in range(1, count):
        length = rng.choice([0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.9, 1.4])
        runs.append(replace(run(rng.choice(names[-5:]), f"point {n}", length), harness=harness))
        names.append(f"point {n}")
    vehicle = replace(two_wire.vehicle, runs=tuple(runs))
    drawing = layout(replace(two_wire, vehicle=vehicle), harness)
    assert faults(drawing) == []
    assert set(names) <= {t.text for t in letterings(drawing)}


def test_a_sheet_grows_where_the_labels_find_no_room(two_wire, monkeypatch):
    tried = []
    real = layout_room._layout_on

    def crowded(result, harness, size):
        tried.append(size)
        if len(tried) < 3:
            raise layout_room.NoRoom("crowded")
        return real(result, harness, size)

    monkeypatch.setattr(layout_room, "_layout_on", crowded)
    drawing = layout_room.layout(two_wire, next(iter(two_wire.vehicle.description.rope)))
    assert drawing.width_mm == pytest.approx(2 * 267.0)

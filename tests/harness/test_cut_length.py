"""Cut lengths: every addend by hand; ropes read off a tape mark by mark."""

from __future__ import annotations

from typing import Any

import pytest

from buildbook.description.models import Description
from buildbook.description.read import FolderContents, Positions
from buildbook.description.yaml_reader import Node
from buildbook.harness.cut_length import moving_slack_m
from buildbook.problem import Where
from buildbook.vehicle.join import join
from tests.harness.test_routes_and_splices import built, of, vehicle_of
from tests.harness.trees import ZONES, run, sensor


def between(rope: list[dict[str, Any]], a: str, b: str, **more: Any) -> dict[str, float]:
    """Kind of addend -> metres, of one wire from a sensor at a to one at b."""
    devices = {"s": sensor(a, 1), "t": sensor(b, 1) | more.pop("end", {})}
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1"]}}, {"main": {"runs": rope}}, **more)
    (wire,) = of(built(vehicle), "c")
    found: dict[str, float] = {}
    for part in wire.addends:
        found[part.kind] = found.get(part.kind, 0.0) + part.length_m
    assert wire.cut_m == pytest.approx(sum(found.values()))
    return found


def test_every_addend_of_a_cut_length_stands_alone() -> None:
    rope = [run("a", "b", 1000, zone="moving"), run("b", "c", 2000, known="estimated")]
    # the catalogue's 1.5 mm pin is stripped 4.5 mm; two ends with 4 mm in the crimp, 20 mm of
    # loop and one cut-back of 20 mm each; 5 % of the moving metre, held still at b alone;
    # 15 % of the two estimated metres; 300 mm at the device that is not fitted
    assert between(rope, "a", "c", end={"fitted": "later"}) == pytest.approx(
        {
            "rope": 3.0,
            "moving": 0.05,
            "estimated": 0.30,
            "strip": 0.009,
            "crimp": 0.008,
            "loop": 0.04,
            "cut back": 0.04,
            "not fitted": 0.30,
        }
    )


def test_the_author_sets_the_allowances() -> None:
    vehicle = {
        "name": "Test",
        "date": "2026-01-01",
        "lengths": {"service loop": "50 mm", "cut backs": 2, "estimated": "20 %"},
    }
    rope = [run("a", "c", 2000, known="estimated")]
    found = between(rope, "a", "c", vehicle=vehicle, end={"service loop": "200 mm"})
    found = {kind: found[kind] for kind in ("loop", "cut back", "estimated")}
    assert found == pytest.approx({"loop": 0.25, "cut back": 0.08, "estimated": 0.4})


def test_slack_is_added_where_still_rope_passes_into_moving_rope() -> None:
    still = run("x", "a", 500)
    door = [run("a", "b", 600, zone="moving"), run("b", "c", 1400, zone="moving")]
    # held at a alone; held at both ends; wholly within what moves
    assert between([still, *door], "x", "c")["moving"] == pytest.approx(0.05 * 2.0)
    both = [still, *door, run("c", "y", 100)]
    assert between(both, "x", "y")["moving"] == pytest.approx(2 * 0.05 * 2.0)
    assert "moving" not in between([still, *door], "b", "c")


def test_a_short_stretch_still_takes_the_least_slack() -> None:
    assert moving_slack_m(0.2, 1, 0.05) == pytest.approx(0.05)
    assert moving_slack_m(0.2, 0, 0.05) == 0.0


def test_a_capped_end_is_turned_back_and_not_terminated() -> None:
    devices = {"s": sensor("a", 1)}
    circuits = {"c": {"join": ["s.1"], "capped at": "b", "status": "spare"}}
    rope = {"main": {"runs": [run("a", "b", 1000)]}}
    (wire,) = of(built(vehicle_of(devices, circuits, rope)), "c")
    kinds = [part.kind for part in wire.addends]
    assert kinds == ["rope", "strip", "crimp", "loop", "cut back", "cap"]


TAPE = {
    "zone": "still",
    "marks": [
        {"at": "a", "reads": "120 mm"},
        {"at": "b", "reads": "760 mm", "clamps": 2},
        {"at": "c", "reads": "1260 mm", "zone": "moving", "known": "estimated"},
    ],
}


def test_marks_read_off_a_tape_are_runs() -> None:
    # the tape was not hooked at its zero: only differences count
    vehicle = vehicle_of({}, {}, {"main": {"runs": [run("b", "d", 300)], "tapes": [TAPE]}})
    assert [(r.id, round(r.length_m, 6), r.zone, r.estimated, r.clamps) for r in vehicle.runs] == [
        ("main:b-d", 0.3, "still", False, 0),
        ("main:a-b", 0.64, "still", False, 2),
        ("main:b-c", 0.5, "moving", True, 0),
    ]


def problems_of(marks: list[dict[str, Any]], **rope: Any) -> list[str]:
    data = {
        "vehicle": {"name": "Test", "date": "2026-01-01"},
        "supply": {"battery": {"between": ["battery.+", "battery.-"]}},
        "states": {"on": {}},
        "zones": ZONES,
        "systems": {"all": {"title": "All"}},
        "devices": {"battery": {"kind": "battery", "at": "a"}, "G1": {"kind": "ground", "at": "a"}},
        "circuits": {"return": {"join": ["battery.-", "G1"]}},
        "rope": {"main": {"tapes": [{"zone": "still", "marks": marks}], **rope}},
    }
    description = Description.model_validate(data)
    vehicle, problems = join(FolderContents(description, Positions(Node({}, Where("v.yaml"))), {}))
    assert (vehicle is None) == bool(problems)
    return [problem.what for problem in problems]


def test_marks_that_do_not_rise_are_a_problem() -> None:
    falling = [
        {"at": "a", "reads": "0 mm"},
        {"at": "b", "reads": "900 mm"},
        {"at": "c", "reads": "400 mm"},
    ]
    assert problems_of(falling) == ["the tape reads 400 mm at `c` and 900 mm at `b` before it"]
    same = [{"at": "a", "reads": "0 mm"}, {"at": "b", "reads": "0 mm"}]
    assert "the tape reads 0 mm at `b` and 0 mm at `a` before it" in problems_of(same)


def test_the_first_mark_has_no_rope_before_it() -> None:
    marks = [{"at": "a", "reads": "0 mm", "clamps": 2}, {"at": "b", "reads": "1 m"}]
    assert problems_of(marks) == ["the first mark, `a`, has `clamps`, but no rope leads up to it"]


def test_what_is_marked_lies_on_its_rope() -> None:
    marks = [
        {"at": "a", "reads": "0 mm"},
        {"at": "b", "reads": "500 mm", "marked": {"grommet": "120 mm"}},
        {"at": "c", "reads": "900 mm", "marked": {"bracket": "450 mm"}},
    ]
    told = "`bracket` is marked 450 mm from `b`, and the rope to `c` is 400 mm long"
    assert problems_of(marks) == [told]


def test_a_tape_that_comes_back_to_a_point_is_a_loop() -> None:
    marks = [{"at": p, "reads": f"{n} m"} for n, p in enumerate("abca")]
    assert any("has a loop" in what for what in problems_of(marks))


def test_points_without_splices_are_points_of_the_harness() -> None:
    marks = [{"at": "a", "reads": "0 mm"}, {"at": "b", "reads": "1 m"}]
    (what,) = problems_of(marks, **{"no splices": ["q"]})
    assert "no point `q` of harness `main`" in what


def at_one_place(**more: Any) -> dict[str, Any]:
    """A wire between two sensors at b, where no rope lies; `more` of its circuit."""
    devices = {"s": sensor("b", 1), "t": sensor("b", 1)}
    circuits = {"c": {"join": ["s.1", "t.1"], **more}}
    vehicle = vehicle_of(devices, circuits, {"main": {"runs": [run("a", "b", 1000)]}})
    (wire,) = of(built(vehicle), "c")
    return {part.kind: part.length_m for part in wire.addends} | {"guessed": wire.is_guessed}


def test_a_way_that_was_measured_takes_the_place_of_the_estimate() -> None:
    assert at_one_place().items() >= {"short": 0.3, "guessed": True}.items()
    told = at_one_place(way="420 mm")
    assert told.items() >= {"way": 0.42, "guessed": False}.items() and "short" not in told


def test_what_is_measured_of_one_wire_goes_before_its_circuit() -> None:
    told = at_one_place(way="420 mm", wires={"t.1": {"way": "9 in"}})
    assert told["way"] == pytest.approx(0.2286)

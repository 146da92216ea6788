"""Where a harness begins, in what order its rope goes on, and how far its points are from it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.harness.breakout_order import near_ends, onward, root_of
from buildbook.harness.connector_home import home_of
from buildbook.harness.datum import datum_of, from_datum_mm
from buildbook.harness.laying_lines import laying_lines
from buildbook.harness.rope import State, Through, lay_rope
from buildbook.vehicle.model import Run
from tests.checks import minimal as m
from tests.harness.test_routes_and_splices import built, of, path_m, vehicle_of
from tests.harness.trees import run, sensor

TREE = (
    m.run("stem", "P", "A", 0.5),
    m.run("top", "B", "A", 0.25),
    m.run("twig", "A", "C", 0.125),
    m.run("leaf", "C", "D", 1.0),
)
"""From P to A, where it parts to B and over C to D; one run is written towards its breakout."""


def test_the_datum_is_where_the_author_measured_from_first() -> None:
    assert datum_of(TREE) == "P"
    assert from_datum_mm(TREE) == pytest.approx(
        {"P": 0.0, "A": 500.0, "B": 750.0, "C": 625.0, "D": 1625.0}
    )


def test_only_terminals_say_where_the_lay_up_begins_and_the_first_point_of_equals_does() -> None:
    def wire(n: int, kind: str, a: str, b: str):
        return m.wire(str(n), "c", m.end(f"e.{n}", kind, point=a), m.end(f"f.{n}", point=b))

    spliced = [wire(n, "splice", "A", point) for n, point in enumerate("BCD")]
    assert root_of(TREE, [*spliced, wire(9, "half", "B", "elsewhere")]) == "B"
    assert root_of(TREE, spliced) == "B", "B, C, D have one pin each, and B is written first"
    assert root_of(TREE, []) == "P"


def test_rope_goes_on_away_from_the_root_and_what_hangs_nowhere_is_left_out() -> None:
    loose = (*TREE, m.run("loose", "X", "Y", 1.0))
    assert onward(loose, "P") == {"stem": ("top", "twig"), "top": (), "twig": ("leaf",), "leaf": ()}
    assert near_ends(loose, "D") == {"leaf": "D", "twig": "C", "stem": "A", "top": "A"}
    assert onward(TREE, "nowhere") == near_ends(TREE, "nowhere") == {}


def lines(held: dict[str, str], root: str, **flat: bool) -> list[tuple[str, ...]]:
    """The points of each line; `held` is the wires of each run, `root` where most of them end."""
    runs: list[Run] = [replace(r, concentric=not flat.get(r.id, False)) for r in TREE]
    wires = [
        m.wire(str(n), "c", m.end(f"x.{n}", point=root), m.end("s", "splice")) for n in range(2)
    ]
    found = laying_lines(runs, {r.id: tuple(held.get(r.id, "")) for r in TREE}, wires)
    assert all(len(line.points) == len(line.runs) + 1 == len(line.lengths_m) + 1 for line in found)
    return [line.points for line in found]


def test_a_line_follows_the_wires_that_came_along_not_the_fullest_branch() -> None:
    # two of the stem's three wires go to B; the twig holds more, but they come from B
    held = {"stem": "123", "top": "12" + "789", "twig": "3789", "leaf": "3789"}
    assert lines(held, "P") == [("P", "A", "B"), ("A", "C", "D")]
    held["top"], held["twig"], held["leaf"] = "1789", "23789", "2"
    assert lines(held, "P") == [("P", "A", "C", "D"), ("A", "B")]


def test_at_a_root_between_branches_the_fullest_two_that_share_a_wire_are_one_line() -> None:
    # of A's three ways the twig is the fullest; one wire passes from it to the top
    held = {"stem": "12", "top": "3", "twig": "345", "leaf": "345"}
    assert lines(held, "A") == [("B", "A", "C", "D"), ("A", "P")]
    # none passes: each way is a line of its own, the fullest first
    held["top"] = "6"
    assert lines(held, "A") == [("A", "C", "D"), ("A", "P"), ("A", "B")]


def test_flat_rope_parts_a_line_and_each_piece_keeps_its_direction() -> None:
    held = {"stem": "12", "top": "", "twig": "12", "leaf": "12"}
    assert lines(held, "P", twig=True) == [("P", "A"), ("C", "D"), ("A", "B")]
    runs = [replace(r, concentric=True) for r in TREE]
    wires = [m.wire("1", "c", m.end("x.1", point="P"), m.end("s", "splice"))]
    first = laying_lines(runs, {r.id: tuple(held[r.id]) for r in TREE}, wires)[0]
    assert first.lengths_m == (0.5, 0.125, 1.0)
    assert [first.at_m(n) for n in range(4)] == pytest.approx([0.0, 0.5, 0.625, 1.625])


def test_a_connector_is_built_on_its_own_harness_or_on_that_of_its_wire() -> None:
    a, b = m.end("d.1", connector="plug"), m.end("e.1", connector="other")
    made = m.harness(
        (
            m.wire("1", "c", m.end("f.1"), m.end("g.1"), harness="front"),
            m.wire("2", "c", b, a, harness="rear"),
        )
    )
    assert home_of(made, m.connector("plug")) == "rear"
    assert home_of(made, m.connector("other")) == "rear"
    assert home_of(made, m.connector("plug", harness="own")) == "own"
    assert home_of(made, m.connector("idle")) == ""


def test_of_two_runs_between_the_same_points_wires_take_the_shorter_one() -> None:
    for lengths in ((900, 400), (400, 900)):
        runs = (
            m.run("one", "a", "b", lengths[0] / 1000),
            m.run("two", "b", "a", lengths[1] / 1000),
        )
        vehicle = replace(vehicle_of({}, {}, {"h": {"runs": [run("a", "b", 100)]}}), runs=runs)
        rope = lay_rope(vehicle)
        short = "one" if lengths[0] == 400 else "two"
        assert rope.run_between["h", "a", "b"].id == rope.run_between["h", "b", "a"].id == short
        assert rope.length_m("h", "a", "b") == pytest.approx(0.4)
        assert rope.runs.keys() == {"one", "two"}
        assert [r.id for r in rope.runs_on("h", ("a", "b", "a"))] == [short, short]
        assert [r.id for r in rope.runs_beside("h", "b")] == ["one", "two"]
        assert rope.runs_beside("else", "b") == []


def test_a_crossing_counts_half_a_metre_and_joins_only_what_reaches_it() -> None:
    gate = {"kind": "pass-through", "at": "wall", "plug": "gate", "between": ["cabin", "engine"]}
    rope = {
        "cabin": {"runs": [run("dash", "wall", 1000)]},
        "engine": {"runs": [run("wall", "head", 1500)]},
    }
    laid = lay_rope(vehicle_of({"X1": gate, "u": sensor("box", 1)}, {}, rope))
    ways = laid.ways[State("dash", "cabin")]
    # 1 m, the crossing and 1.5 m
    assert ways[0][State("head", "engine")] == pytest.approx(3.0)
    assert ways[1][State("head", "engine")] == [
        State("dash", "cabin"),
        State("wall", "cabin"),
        Through("X1"),
        State("wall", "engine"),
        State("head", "engine"),
    ]
    assert laid.harnesses_at["wall"] == ("cabin", "engine")
    # a place that no rope reaches stands alone in the first harness
    assert laid.harnesses_at["box"] == ("cabin",)
    assert laid.ways[State("box", "cabin")][0] == {State("box", "cabin"): 0}


def test_a_wire_takes_the_nearer_of_two_pass_throughs_counted_over_its_whole_way() -> None:
    gate = {"kind": "pass-through", "plug": "gate", "between": ["cabin", "engine"]}
    devices = {
        "X1": gate | {"at": "near"},
        "X2": gate | {"at": "far"},
        "s": sensor("dash", 1),
        "t": sensor("head", 1),
    }
    rope = {
        "cabin": {"runs": [run("dash", "near", 200), run("dash", "far", 700)]},
        "engine": {"runs": [run("head", "near", 1000), run("head", "far", 400)]},
    }
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1"]}}, rope)
    harness = built(vehicle)
    # 0.7 + 0.4 m by the far one, 0.2 + 1.0 m by the near one
    assert [pin.device for pin in harness.pass_pins] == ["X2"]
    assert sum(path_m(vehicle, wire) for wire in of(harness, "c")) == pytest.approx(1.1)

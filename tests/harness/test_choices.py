"""Ways of a circuit where several harnesses would do, and what is said where none does."""

from __future__ import annotations

from typing import Any

import pytest

from buildbook.harness.all_routes import cap_point, closed_to
from buildbook.harness.build import build_harness
from buildbook.harness.choices import is_as_long, spares_a_contact, ways
from buildbook.harness.rope import lay_rope
from buildbook.harness.route import Way
from buildbook.problem import Problem
from tests.harness.test_routes_and_splices import STAR, built, of, vehicle_of
from tests.harness.trees import run, sensor

GATE = {"kind": "pass-through", "plug": "gate", "at": "wall", "between": ["left", "right"]}
SIDES = {
    "left": {"runs": [run("dash", "wall", 1000), run("dash", "lamp", 900)]},
    "right": {"runs": [run("wall", "lamp", 400)]},
}
"""Two ways from the dash to the lamp: 0.9 m in the left harness; 1 m, a crossing and 0.4 m."""


def ways_of(ends: tuple[str, ...], rope: dict[str, Any] = SIDES, **circuit: Any) -> list[Way]:
    devices: dict[str, Any] = {"X1": GATE} | {f"s{at}": sensor(at, 1) for at in ends}
    told = {"join": [f"s{at}.1" for at in ends]} | circuit
    vehicle = vehicle_of(devices, {"c": told}, rope)
    return list(ways(vehicle, lay_rope(vehicle), vehicle.circuits["c"]))


def test_each_way_tells_its_harnesses_its_rope_and_what_crossings_count() -> None:
    stay, cross = ways_of(("dash", "lamp"))
    assert (stay.harnesses, stay.route.throughs) == (("left",), ())
    assert (stay.rope_m, stay.counted_m) == (pytest.approx(0.9), pytest.approx(0.9))
    assert (cross.harnesses, cross.route.throughs) == (("left", "right"), ("X1",))
    # a crossing counts half a metre beside the rope
    assert (cross.rope_m, cross.counted_m) == (pytest.approx(1.4), pytest.approx(1.9))


def test_the_way_that_the_author_names_comes_first() -> None:
    cross, stay = ways_of(("dash", "lamp"), harness="right")
    assert (cross.route.throughs, stay.route.throughs) == (("X1",), ())
    assert [way.route.throughs for way in ways_of(("dash", "lamp"), harness="left")] == [
        (),
        ("X1",),
    ]


def test_ways_that_take_the_same_harnesses_and_contacts_are_told_once() -> None:
    assert [way.harnesses for way in ways_of(("dash", "wall"))] == [("left",), ("left", "right")]
    one = {"left": {"runs": [run("dash", "wall", 1000)]}, "right": SIDES["right"]}
    assert [way.harnesses for way in ways_of(("dash", "lamp"), one)] == [("left", "right")]


def test_an_insulated_end_is_an_end_of_every_way() -> None:
    stay, cross = ways_of(("dash",), **{"capped at": "lamp", "status": "spare"})
    assert (stay.rope_m, cross.rope_m) == (pytest.approx(0.9), pytest.approx(1.4))


def test_another_way_spares_a_contact_for_little_rope_twice_a_crossing_at_most() -> None:
    # the left harness goes the long way round: 1.4 m of rope against 2.4 m and one crossing less
    def pair(mm: int) -> tuple[Way, Way]:
        rope = SIDES | {"left": {"runs": [run("dash", "wall", 1000), run("dash", "lamp", mm)]}}
        cross, stay = ways_of(("dash", "lamp"), rope)
        return cross, stay

    cross, stay = pair(2400)
    assert (cross.route.throughs, stay.route.throughs) == (("X1",), ())
    assert spares_a_contact(cross, stay) and not spares_a_contact(stay, cross)
    assert not spares_a_contact(*pair(2401))
    assert not spares_a_contact(stay, stay)


def test_only_the_order_of_the_file_decides_between_ways_that_count_alike() -> None:
    rope = SIDES | {"left": {"runs": [run("dash", "wall", 1000), run("dash", "lamp", 1900)]}}
    one, other = ways_of(("dash", "lamp"), rope)
    assert is_as_long(one, other) and is_as_long(other, one)
    assert one.harnesses == ("left",), "the first harness of the file"
    assert not is_as_long(*ways_of(("dash", "lamp")))


def problem(devices: dict[str, Any], rope: dict[str, Any] = STAR, **circuit: Any) -> Problem:
    """The only problem of a vehicle with one circuit `c`."""
    harness, found = build_harness(vehicle_of(devices, {"c": circuit}, rope))
    assert harness is None
    (only,) = found
    assert only.where.file == "vehicle.yaml"
    return only


TWO = {"near": {"runs": [run("a", "b", 1000)]}, "far": {"runs": [run("b", "c", 1000)]}}
APART = {
    "left": {"runs": [run("a", "b", 1000)]},
    "right": {"runs": [run("c", "d", 1000)]},
}


def test_a_plug_s_pin_joins_no_harnesses_and_the_message_names_what_is_apart() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("c", 1), "u": sensor("b", 1)}
    told = problem(devices, TWO, join=["s.1", "t.1", "u.1"])
    assert told.what == "circuit 'c' has no path that joins s.1, t.1, u.1"
    assert "nowhere joined" in told.why and told.hint.startswith("join the harnesses")
    told = problem(devices, TWO, join=["s.1", "t.1", "u.1"], harness="far")
    assert told.what == "circuit 'c' has no path from harness 'far' that joins s.1, t.1, u.1"


def test_a_harness_that_no_end_reaches_is_told_with_those_that_one_does() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("b", 1)}
    told = problem(devices, APART, join=["s.1", "t.1"], harness="right")
    assert told.what == "circuit 'c' cannot keep to harness 'right'"
    assert told.why == "no end of it lies on rope of right"
    assert told.hint == "take 'harness' out, or name one that an end reaches: left"
    # an insulated end is one too
    join = {"join": ["s.1"], "capped at": "b", "status": "spare"}
    told = problem(devices, TWO | {"third": APART["right"]}, harness="third", **join)
    assert told.hint.endswith("reaches: near, far")


def test_a_contact_fixed_for_a_circuit_that_stays_on_one_side_says_where_to_look() -> None:
    devices = {"X1": GATE | {"carries": {"3": "c"}}} | {n: sensor("dash", 1) for n in "st"}
    told = problem(devices, SIDES, join=["s.1", "t.1"])
    assert told.what.startswith("'X1' carries circuit 'c' in 3, but")
    assert "all on one side" in told.why and "'carries'" in told.hint


def test_a_splice_point_that_cannot_be_is_told_by_its_cause() -> None:
    three = {n: sensor(at, 1) for n, at in zip("stu", "abb", strict=True)}
    told = problem(three, TWO, join=["s.1", "t.1", "u.1"], harness="near", **{"splice at": "c"})
    assert told.what == "circuit 'c' cannot be spliced at 'c'"
    assert "none of the harnesses" in told.why and told.hint == "name a point of near"
    closed = {"near": TWO["near"] | {"no splices": ["b"]}}
    told = problem(three, closed, join=["s.1", "t.1", "u.1"], **{"splice at": "b"})
    assert told.why == "'no splices' of near forbids it there"
    assert "another point" in told.hint
    told = problem(three, TWO, join=["s.1", "t.1"], **{"splice at": "b"})
    assert told.why.startswith("it has only two ends in near")
    assert "three of its ends" in told.hint


def test_an_insulated_end_counts_as_one_and_so_does_a_contact() -> None:
    # two pins and a cap, or two pins and a crossing, meet at a splice
    two = {"s": sensor("a", 1), "t": sensor("b", 1)}
    told = {"join": ["s.1", "t.1"], "capped at": "hub", "splice at": "hub", "status": "spare"}
    harness = built(vehicle_of(two, {"c": told}, STAR))
    assert [splice.point for splice in harness.splices.values()] == ["hub"]
    three = {"X1": GATE} | {
        n: sensor(p, 1) for n, p in zip("stu", ("dash", "dash", "lamp"), strict=True)
    }
    told = {"join": ["s.1", "t.1", "u.1"], "splice at": "wall", "harness": "right"}
    harness = built(vehicle_of(three, {"c": told}, SIDES))
    assert [splice.point for splice in harness.splices.values()] == ["wall"]


def test_a_screen_is_insulated_at_its_cores_end_furthest_along_the_rope_from_its_pin() -> None:
    devices = {"s": sensor("c", 3), "t": sensor("a", 1), "u": sensor("d", 1)}
    circuits = {
        "one": {"join": ["s.1", "t.1"]},
        "two": {"join": ["s.2", "u.1"]},
        "screen": {"join": ["s.3"]},
    }
    cables = {"k": {"type": "shielded 2", "cores": ["one", "two"], "screen": "screen"}}
    vehicle = vehicle_of(devices, circuits, STAR, cables=cables)
    rope = lay_rope(vehicle)
    # from c it is 0.5 m to d and 1.6 m to a
    assert cap_point(vehicle, rope, vehicle.circuits["screen"]) == "a"
    assert cap_point(vehicle, rope, vehicle.circuits["one"]) == ""


def test_a_circuit_fixed_in_one_of_two_pass_throughs_keeps_out_of_the_other() -> None:
    devices: dict[str, Any] = {
        "X1": GATE,
        "X2": GATE | {"at": "lamp", "carries": {"2": "c"}},
        "s": sensor("dash", 1),
        "t": sensor("wall", 1),
        "X3": GATE | {"between": ["right", "third"], "at": "end"},
    }
    rope = SIDES | {
        "right": {"runs": [*SIDES["right"]["runs"], run("wall", "end", 100)]},
        "third": {"runs": [run("end", "tail", 5000)]},
    }
    devices["t"] = sensor("tail", 1)
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1"]}}, rope)
    assert closed_to(vehicle, vehicle.circuits["c"]) == {"X1"}
    assert closed_to(vehicle, vehicle.circuits["battery ground"]) == frozenset()
    harness = built(vehicle)
    assert [(pin.device, pin.cavity) for pin in harness.pass_pins] == [("X2", "2"), ("X3", "1")]
    # by X2: 0.9 m, then 0.4 + 0.1 m, then 5 m
    assert [wire.points for wire in of(harness, "c")] == [
        ("dash", "lamp"),
        ("tail", "end"),
        ("lamp", "wall", "end"),
    ]

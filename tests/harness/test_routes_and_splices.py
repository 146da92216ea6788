"""Routes, splices and lengths of small harnesses whose answers are seen by eye."""

from __future__ import annotations

from typing import Any

import pytest

from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness, Wire
from buildbook.harness.numbering import letters, splice_ids, wire_ids
from buildbook.vehicle.model import Vehicle
from tests.harness.trees import joined, plug, run, sensor

PLUGS = {f"plug-{n}": plug(n) for n in range(1, 6)} | {"gate": plug(6)}


def built(vehicle: Vehicle, current_a: dict[str, float] | None = None) -> Harness:
    harness, problems = build_harness(vehicle, current_a)
    assert harness is not None, problems
    return harness


def vehicle_of(
    devices: dict[str, Any], circuits: dict[str, Any], rope: dict[str, Any], **more: Any
) -> Vehicle:
    first = next(iter(rope.values()))["runs"][0]["from"]
    base = {
        "battery": {"kind": "battery", "at": first, "system": "all"},
        "G1": {"kind": "ground", "at": first, "system": "all"},
    }
    supply = {"battery ground": {"join": ["battery.-", "G1"]}}
    return joined(
        {
            "plugs": PLUGS,
            "devices": base | devices,
            "circuits": supply | circuits,
            "rope": rope,
            **more,
        }
    )


STAR = {
    "main": {
        "runs": [
            run("hub", "a", 1000),
            run("hub", "b", 800),
            run("hub", "c", 600),
            run("c", "d", 500),
        ]
    }
}


def of(harness: Harness, circuit: str) -> list[Wire]:
    return [wire for wire in harness.wires.values() if wire.circuit == circuit]


def path_m(vehicle: Vehicle, wire: Wire) -> float:
    return sum(run.length_m for run in vehicle.runs if run.id in wire.runs)


def test_two_pins_make_one_wire_along_the_rope() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("d", 1)}
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1"]}}, STAR)
    (wire,) = of(built(vehicle), "c")
    assert wire.points == ("a", "hub", "c", "d")
    assert path_m(vehicle, wire) == pytest.approx(2.1)


def test_three_pins_are_spliced_at_the_breakout() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)}
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1", "u.1"]}}, STAR)
    harness = built(vehicle)
    (splice,) = harness.splices.values()
    assert splice.point == "hub"
    assert sum(path_m(vehicle, wire) for wire in of(harness, "c")) == pytest.approx(2.9)


def test_the_author_places_a_splice() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("d", 1)}
    circuit = {"join": ["s.1", "t.1", "u.1"], "splice at": "c"}
    harness = built(vehicle_of(devices, {"c": circuit}, STAR))
    assert [splice.point for splice in harness.splices.values()] == ["c"]


def test_a_second_splice_is_made_where_it_saves_copper() -> None:
    rope = {
        "main": {
            "runs": [
                run("p", "q", 4000),
                run("p", "a", 200),
                run("p", "b", 200),
                run("q", "c", 200),
                run("q", "d", 200),
            ]
        }
    }
    devices = {name: sensor(name, 1) for name in "abcd"}
    circuits = {"c": {"join": ["a.1", "b.1", "c.1", "d.1"]}}
    vehicle = vehicle_of(devices, circuits, rope)
    harness = built(vehicle)
    assert {splice.point for splice in harness.splices.values()} == {"p", "q"}
    assert sum(path_m(vehicle, wire) for wire in of(harness, "c")) == pytest.approx(4.8)


def test_a_splice_keeps_out_of_moving_rope() -> None:
    rope = {
        "main": {
            "runs": [
                run("still", "hinge", 300),
                run("hinge", "door", 400, zone="moving"),
                run("door", "x", 100, zone="moving"),
                run("door", "y", 100, zone="moving"),
            ]
        }
    }
    devices = {"s": sensor("still", 1), "t": sensor("x", 1), "u": sensor("y", 1)}
    harness = built(vehicle_of(devices, {"c": {"join": ["s.1", "t.1", "u.1"]}}, rope))
    (splice,) = harness.splices.values()
    # nearest to the copper's middle that is still: on the still rope, off the hinge itself
    assert (splice.point, splice.run, splice.offset_m) == ("hinge", "main:still-hinge", 0.04)


def test_splices_at_one_point_are_staggered() -> None:
    devices = {"s": sensor("a", 3), "t": sensor("b", 3), "u": sensor("d", 3)}
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}", f"u.{n}"]} for n in (1, 2, 3)}
    # the first run sets where the battery stands: not at the hub, where all are spliced
    rope = {"main": {"runs": [*STAR["main"]["runs"][3:], *STAR["main"]["runs"][:3]]}}
    harness = built(vehicle_of(devices, circuits, rope))
    assert {splice.point for splice in harness.splices.values()} == {"hub"}
    assert sorted(splice.offset_m for splice in harness.splices.values()) == [0.0, 0.04, 0.08]


def test_stubs_of_a_twisted_pair_are_kept_short() -> None:
    devices = {"s": sensor("a", 2), "t": sensor("b", 2), "u": sensor("d", 2)}
    circuits = {f"bus {n}": {"join": [f"s.{n}", f"t.{n}", f"u.{n}"]} for n in (1, 2)}
    cables = {"bus": {"type": "twisted pair", "cores": ["bus 1", "bus 2"]}}
    vehicle = vehicle_of(devices, circuits, STAR, cables=cables)
    harness = built(vehicle)
    for circuit in circuits:
        # ISO 11898-2 practice: stubs not over 0.3 m at 1 Mbit/s
        assert min(path_m(vehicle, wire) for wire in of(harness, circuit)) <= 0.3
        assert {wire.cable for wire in of(harness, circuit)} == {"bus"}


def test_a_wire_inside_a_panel_has_length() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("a", 1)}
    (wire,) = of(built(vehicle_of(devices, {"c": {"join": ["s.1", "t.1"]}}, STAR)), "c")
    ends = sum(part.length_m for part in wire.addends if part.kind != "short")
    assert wire.runs == () and wire.cut_m == pytest.approx(0.30 + ends) and ends > 0.05


def test_a_longer_run_lengthens_the_wires_in_it_alone() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("d", 1), "u": sensor("b", 1), "v": sensor("c", 1)}
    circuits = {"through d": {"join": ["s.1", "t.1"]}, "not": {"join": ["u.1", "v.1"]}}
    before = built(vehicle_of(devices, circuits, STAR))
    longer = {"main": {"runs": [*STAR["main"]["runs"][:3], run("c", "d", 1500)]}}
    after = built(vehicle_of(devices, circuits, longer))
    (old,), (new,) = of(before, "through d"), of(after, "through d")
    assert new.cut_m - old.cut_m == pytest.approx(1.0)
    assert of(before, "not")[0].cut_m == of(after, "not")[0].cut_m


def test_a_spare_is_capped_at_its_point() -> None:
    devices = {"s": sensor("a", 1)}
    circuits = {"c": {"join": ["s.1"], "capped at": "d", "status": "spare"}}
    (wire,) = of(built(vehicle_of(devices, circuits, STAR)), "c")
    assert (wire.b.kind, wire.b.point, wire.b.node) == ("capped", "d", f"{wire.id}.cap")


def test_a_screen_is_grounded_at_one_end_and_capped_at_the_far_end() -> None:
    devices = {"s": sensor("a", 3), "t": sensor("d", 2)}
    circuits = {
        "signal": {"join": ["s.1", "t.1"]},
        "return": {"join": ["s.2", "t.2"]},
        "screen": {"join": ["s.3"]},
    }
    cables = {"k": {"type": "shielded 2", "cores": ["signal", "return"], "screen": "screen"}}
    harness = built(vehicle_of(devices, circuits, STAR, cables=cables))
    (drain,) = of(harness, "screen")
    assert (drain.a.node, drain.b.kind, drain.b.point) == ("s.3", "capped", "d")
    assert {wire.cable for name in circuits for wire in of(harness, name)} == {"k"}


def test_wires_are_lettered_past_z() -> None:
    """No i, l or o, which look like figures: h is followed by j, k by m, n by p."""
    assert [letters(n) for n in (0, 22, 23, 45, 46, 551, 552)] == [
        "a",
        "z",
        "aa",
        "az",
        "ba",
        "zz",
        "aaa",
    ]
    assert [letters(n) for n in (7, 8, 9, 10, 11, 12)] == ["h", "j", "k", "m", "n", "p"]
    assert wire_ids(204, 1) == ("204",)
    assert splice_ids(204, 2) == ("S204a", "S204b")


TWO = {
    "left": {"runs": [run("a", "joint", 1000)]},
    "right": {"runs": [run("joint", "b", 1000)]},
}


def test_a_stud_joins_two_harnesses_where_no_pass_through_does() -> None:
    devices = {
        "s": sensor("a", 1),
        "t": sensor("b", 1),
        "G2": {"kind": "ground", "at": "joint", "system": "all"},
    }
    harness = built(vehicle_of(devices, {"c": {"join": ["s.1", "t.1", "G2"]}}, TWO))
    assert sorted((wire.harness, wire.b.node) for wire in of(harness, "c")) == [
        ("left", "G2.stud"),
        ("right", "G2.stud"),
    ]
    assert not harness.splices


def test_a_plug_pin_does_not_join_two_harnesses() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("b", 1), "u": sensor("joint", 1)}
    vehicle = vehicle_of(devices, {"c": {"join": ["s.1", "t.1", "u.1"]}}, TWO)
    harness, problems = build_harness(vehicle)
    assert harness is None
    assert "'c' has no path" in problems[0].what and "pass-through" in problems[0].hint


def test_the_author_chooses_the_harness_where_two_meet() -> None:
    devices = {"s": sensor("joint", 1), "t": sensor("joint", 1)}
    for harness in ("left", "right"):
        circuits = {"c": {"join": ["s.1", "t.1"], "harness": harness}}
        (wire,) = of(built(vehicle_of(devices, circuits, TWO)), "c")
        assert wire.harness == harness


def test_a_splice_point_out_of_reach_is_a_problem() -> None:
    devices = {name: sensor(point, 1) for name, point in (("s", "a"), ("t", "a"), ("u", "joint"))}
    circuit = {"join": ["s.1", "t.1", "u.1"], "harness": "left", "splice at": "b"}
    harness, problems = build_harness(vehicle_of(devices, {"c": circuit}, TWO))
    assert harness is None
    assert "cannot be spliced at 'b'" in problems[0].what and "left" in problems[0].hint


def test_two_pins_have_nothing_to_splice() -> None:
    devices = {"s": sensor("a", 1), "t": sensor("d", 1)}
    circuit = {"join": ["s.1", "t.1"], "splice at": "hub"}
    harness, problems = build_harness(vehicle_of(devices, {"c": circuit}, STAR))
    assert harness is None and "only two ends" in problems[0].why


def test_twelve_wires_are_not_crimped_in_one_splice() -> None:
    rope = {"main": {"runs": [run(f"p{n}", f"p{n + 1}", 300) for n in range(4)]}}
    devices = {f"s{n}": sensor(f"p{n % 5}", 1) for n in range(12)}
    harness = built(vehicle_of(devices, {"c": {"join": [f"s{n}.1" for n in range(12)]}}, rope))
    assert len(harness.splices) >= 2
    assert max(len(splice.wires) for splice in harness.splices.values()) < 12


def test_a_panel_off_the_rope_is_wired_inside_itself() -> None:
    devices = {"s": sensor("box", 2), "t": sensor("box", 2), "u": sensor("box", 1)}
    circuits = {"two": {"join": ["s.1", "t.1"]}, "three": {"join": ["s.2", "t.2", "u.1"]}}
    harness = built(vehicle_of(devices, circuits, STAR))
    (wire,) = of(harness, "two")
    assert wire.runs == () and wire.cut_m > 0.3
    assert [splice.point for splice in harness.splices.values()] == ["box"]


def test_twisted_layers_take_up_length() -> None:
    # a helix with a pitch of twelve diameters is sqrt(1 + (pi / 12) ** 2) = 1.034 times its
    # axis at the outside (geometry); wires further in take up less
    rope = {"main": STAR["main"] | {"layup": "concentric"}}
    devices = {"s": sensor("a", 1), "t": sensor("d", 1)}
    circuits = {"c": {"join": ["s.1", "t.1"]}}
    (plain,) = of(built(vehicle_of(devices, circuits, STAR)), "c")
    (twisted,) = of(built(vehicle_of(devices, circuits, rope)), "c")
    assert 1.0 < 1 + (twisted.cut_m - plain.cut_m) / 2.1 <= 1.034


def test_wires_reach_a_splice_that_is_off_its_mark() -> None:
    devices = {"s": sensor("a", 2), "t": sensor("b", 2), "u": sensor("d", 2)}
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}", f"u.{n}"]} for n in (1, 2)}
    vehicle = vehicle_of(devices, circuits, STAR)
    harness = built(vehicle)
    off = next(splice for splice in harness.splices.values() if splice.offset_m)
    for id_ in off.wires:
        wire = harness.wires[id_]
        extra = {part.what: part.length_m for part in wire.addends}.get("splice off its mark", 0)
        assert extra == (0 if off.run in wire.runs else pytest.approx(off.offset_m))

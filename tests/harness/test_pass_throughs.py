"""Contacts of pass-throughs: who gets which, and what happens when they run out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from buildbook.catalogue.load import contact_families
from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness
from buildbook.harness.pass_throughs import needed
from buildbook.vehicle.model import Vehicle
from tests.harness.sound import check_all
from tests.harness.test_routes_and_splices import built, of, vehicle_of
from tests.harness.trees import plug, run, sensor

ROPE = {
    "cabin": {"runs": [run("dash", "wall", 1000)]},
    "engine": {"runs": [run("wall", "head", 1500)]},
}


def across(count: int, gate: dict[str, Any] | None = None, **circuit: Any) -> Vehicle:
    """Circuits c1, c2, … from the dash to the head through X1."""
    devices = {
        "X1": {
            "kind": "pass-through",
            "at": "wall",
            "plug": "gate",
            "between": ["cabin", "engine"],
        }
        | (gate or {}),
    }
    circuits = {}
    for n in range(1, count + 1):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
        circuits[f"c{n}"] = {"join": [f"s{n}.1", f"t{n}.1"]} | circuit
    return vehicle_of(devices, circuits, ROPE)


def test_a_wire_is_cut_where_it_leaves_its_harness() -> None:
    harness = built(across(1))
    cabin, engine = of(harness, "c1")
    assert (cabin.harness, cabin.points) == ("cabin", ("dash", "wall"))
    assert (engine.harness, engine.points) == ("engine", ("head", "wall"))
    (pin,) = harness.pass_pins
    assert pin.wires == {"cabin": cabin.id, "engine": engine.id}
    assert (cabin.b.node, engine.b.node) == ("X1.1/cabin", "X1.1/engine")


def test_both_halves_are_connectors_with_every_cavity() -> None:
    harness = built(across(2))
    for side in ("cabin", "engine"):
        half = harness.connectors[f"X1/{side}"]
        assert [pin.cavity for pin in half.pins] == ["1", "2", "3", "4", "5", "6"]
        assert [pin.unused for pin in half.pins] == [False, False, True, True, True, True]


def test_what_the_author_fixed_stays() -> None:
    harness = built(across(3, {"carries": {"5": "c1"}}))
    taken = {pin.circuit: pin.cavity for pin in harness.pass_pins}
    assert taken["c1"] == "5" and "5" not in (taken["c2"], taken["c3"])


@pytest.mark.parametrize(("amps", "count"), [(7.5, 1), (7.6, 2), (12.0, 2), (12.1, 3)])
def test_contacts_share_a_current_at_80_percent_of_their_sum(amps: float, count: int) -> None:
    # AS39029 size 20 carries 7.5 A (memory); in parallel each is trusted with 6 A
    assert needed(amps, contact_families()["size-20"]) == count


def test_a_heavy_circuit_takes_neighbouring_contacts_and_a_splice_on_each_side() -> None:
    vehicle = across(2)
    harness = built(vehicle, {"c2": 18.0})
    check_all(vehicle, harness)
    cavities = [pin.cavity for pin in harness.pass_pins if pin.circuit == "c2"]
    assert cavities == ["1", "2"]
    sides = {splice.harness for splice in harness.splices.values()}
    assert sides == {"cabin", "engine"} and len(harness.splices) == 2


def test_pins_beyond_a_pass_through_share_one_contact() -> None:
    devices = {
        "X1": {"kind": "pass-through", "at": "wall", "plug": "gate", "between": ["cabin", "engine"]}
    } | {f"s{n}": sensor("dash" if n < 3 else "head", 1) for n in range(1, 6)}
    vehicle = vehicle_of(devices, {"c": {"join": [f"s{n}.1" for n in range(1, 6)]}}, ROPE)
    harness = built(vehicle)
    check_all(vehicle, harness)
    assert len(harness.pass_pins) == 1
    assert sorted(splice.harness for splice in harness.splices.values()) == ["cabin", "engine"]


def mixed_vehicle() -> Vehicle:
    """Circuits c1 and c2 through a plug of three 1.5 mm pins and, fourth, one of 2.8 mm."""
    mixed = plug(4) | {"contacts": {"4": "pin-2.8"}}
    devices = {
        "X1": {
            "kind": "pass-through",
            "at": "wall",
            "plug": "mixed",
            "between": ["cabin", "engine"],
        }
    }
    for n in (1, 2):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
    circuits = {f"c{n}": {"join": [f"s{n}.1", f"t{n}.1"]} for n in (1, 2)}
    plugs = {"mixed": mixed, "plug-1": plug(1)}
    return vehicle_of(devices, circuits, ROPE, plugs=plugs)


def test_a_heavy_circuit_goes_to_the_large_contact() -> None:
    harness = built(mixed_vehicle(), {"c2": 17.0})
    taken = {pin.circuit: pin.cavity for pin in harness.pass_pins}
    assert taken["c2"] == "4" and taken["c1"] in ("1", "2", "3")


def test_a_thick_wire_goes_to_the_contact_that_takes_it() -> None:
    families = contact_families()
    area_mm2 = families["pin-1.5"].largest_mm2 + 0.5
    assert area_mm2 <= families["pin-2.8"].largest_mm2
    harness, problems = build_harness(mixed_vehicle(), {}, {"c2": area_mm2})
    assert harness is not None, problems
    taken = {pin.circuit: pin.cavity for pin in harness.pass_pins}
    assert taken["c2"] == "4" and taken["c1"] in ("1", "2", "3")


def test_a_full_pass_through_is_a_located_problem_with_a_hint() -> None:
    harness, problems = build_harness(across(7))
    assert harness is None
    (problem,) = problems
    assert "X1" in problem.what and "c7" in problem.what
    assert problem.where.file == "vehicle.yaml" and "second pass-through" in problem.hint


def test_a_full_pass_through_tells_what_is_needed_and_who_holds_it() -> None:
    """By the catalogue a pin of 2.8 mm carries 20 A and one of 1.5 mm 12 A, each of several 80 %
    of that: 30 A take both of the larger, and 18 A would take two of 1.5 mm, where one is left.
    """
    mixed = plug(4) | {"contacts": {"3": "pin-2.8", "4": "pin-2.8"}}
    devices: dict[str, Any] = {
        "X1": {
            "kind": "pass-through",
            "at": "wall",
            "plug": "mixed",
            "between": ["cabin", "engine"],
            "unused": ["1"],
        }
    }
    for n in (1, 2):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
    circuits = {f"c{n}": {"join": [f"s{n}.1", f"t{n}.1"]} for n in (1, 2)}
    plugs = {"mixed": mixed, "plug-1": plug(1)}
    vehicle = vehicle_of(devices, circuits, ROPE, plugs=plugs)
    _, (problem,) = build_harness(vehicle, {"c1": 30.0, "c2": 18.0})
    assert "'X1' has no contact left for circuit 'c2' at 18.0 A" in problem.what
    assert problem.why == (
        "it needs 2 pin-1.5 or 1 pin-2.8; plug type 'mixed' has 2 pin-1.5, 1 free "
        "(1 kept by `unused` or `carries`), 2 pin-2.8, none free, held by 'c1' (2, 30.0 A)"
    )
    assert "more pin-2.8 or with larger contacts" in problem.hint


def test_a_pass_through_that_is_full_for_several_is_told_once() -> None:
    """Six contacts and eleven circuits; no current is known before the sizes are."""
    _, (problem,) = build_harness(across(11))
    assert "has no contact left for 5 circuits: 'c7', 'c8', 'c9' and 2 more" in problem.what
    assert problem.why.startswith("'c7' needs 1 ")
    assert problem.why.endswith("6 pin-1.5, none free, held by 'c1', 'c2', 'c3' and 3 more")


def test_what_one_pass_through_cannot_take_goes_through_the_other() -> None:
    devices: dict[str, Any] = {
        name: {"kind": "pass-through", "at": at, "plug": "gate", "between": ["cabin", "engine"]}
        for name, at in (("X1", "wall"), ("X2", "far-wall"))
    }
    circuits = {}
    for n in range(1, 9):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
        circuits[f"c{n}"] = {"join": [f"s{n}.1", f"t{n}.1"]}
    rope = {
        "cabin": {"runs": [run("dash", "wall", 1000), run("dash", "far-wall", 1400)]},
        "engine": {"runs": [run("wall", "head", 1500), run("far-wall", "head", 1900)]},
    }
    rope["engine"]["runs"][1] = run("head", "far-wall", 1900)
    vehicle = vehicle_of(devices, circuits, rope)
    harness = built(vehicle)
    check_all(vehicle, harness)
    assert [pin.device for pin in harness.pass_pins].count("X1") == 6
    assert [pin.device for pin in harness.pass_pins].count("X2") == 2


def test_a_fixed_contact_on_a_circuit_that_does_not_cross_is_a_problem() -> None:
    devices = {
        "X1": {
            "kind": "pass-through",
            "at": "wall",
            "plug": "gate",
            "between": ["cabin", "engine"],
            "carries": {"3": "inside"},
        },
        "s": sensor("dash", 1),
        "t": sensor("dash", 1),
    }
    vehicle = vehicle_of(devices, {"inside": {"join": ["s.1", "t.1"]}}, ROPE)
    harness, problems = build_harness(vehicle)
    assert harness is None and "does not cross" in problems[0].what


def test_cores_of_a_cable_cross_side_by_side() -> None:
    devices: dict[str, Any] = {
        "X1": {"kind": "pass-through", "at": "wall", "plug": "gate", "between": ["cabin", "engine"]}
    }
    circuits = {}
    for n in range(1, 6):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
        circuits[f"c{n}"] = {"join": [f"s{n}.1", f"t{n}.1"]}
    cables = {"pair": {"type": "twisted pair", "cores": ["c2", "c5"]}}
    harness = built(vehicle_of(devices, circuits, ROPE, cables=cables))
    at = {pin.circuit: int(pin.cavity) for pin in harness.pass_pins}
    assert abs(at["c2"] - at["c5"]) == 1


def test_a_signal_is_not_put_beside_a_heavy_contact() -> None:
    vehicle = across(2)
    quiet = across(2, signal="yes")
    circuits = vehicle.circuits | {"c2": quiet.circuits["c2"]}
    harness = built(replace(vehicle, circuits=circuits), {"c1": 10.0})
    at = {pin.circuit: int(pin.cavity) for pin in harness.pass_pins}
    assert abs(at["c1"] - at["c2"]) > 1


def test_an_unfixed_circuit_never_takes_a_fixed_cavity() -> None:
    harness = built(across(6, {"carries": {"1": "c6", "3": "c5"}}))
    at = {pin.circuit: pin.cavity for pin in harness.pass_pins}
    assert (at["c6"], at["c5"]) == ("1", "3")
    assert sorted(at.values()) == ["1", "2", "3", "4", "5", "6"]


def test_a_cavity_listed_as_unused_stays_empty() -> None:
    harness = built(across(3, {"unused": ["1", "2"]}))
    assert sorted(pin.cavity for pin in harness.pass_pins) == ["3", "4", "5"]
    half = harness.connectors["X1/engine"]
    assert [pin.unused for pin in half.pins] == [True, True, False, False, False, True]


def test_round_shells_are_filled_from_the_middle() -> None:
    shell = {"contact": "size-20", "rings": [["A"], ["B", "C", "D", "E", "F", "G"]]}
    devices: dict[str, Any] = {
        "X1": {
            "kind": "pass-through",
            "at": "wall",
            "plug": "round",
            "between": ["cabin", "engine"],
        }
    }
    circuits = {}
    for n in range(1, 4):
        devices[f"s{n}"], devices[f"t{n}"] = sensor("dash", 1), sensor("head", 1)
        circuits[f"c{n}"] = {"join": [f"s{n}.1", f"t{n}.1"]}
    plugs = {"round": shell, "plug-1": plug(1)}
    harness = built(vehicle_of(devices, circuits, ROPE, plugs=plugs), {"c1": 7.0})
    assert {pin.circuit: pin.cavity for pin in harness.pass_pins}["c1"] == "A"
    assert len({pin.cavity for pin in harness.pass_pins}) == 3


CHAIN = {
    "front": {"runs": [run("nose", "wall", 1000)]},
    "middle": {"runs": [run("wall", "joint", 1000)]},
    "rear": {"runs": [run("joint", "tail", 1000)]},
}


def chain(battery: str, **x2: Any) -> Vehicle:
    """Three harnesses in a row, with the battery at a point of one of them."""
    gate = {"kind": "pass-through", "plug": "gate"}
    devices = {
        "X1": gate | {"at": "wall", "between": ["front", "middle"]},
        "X2": gate | {"at": "joint", "between": ["rear", "middle"]} | x2,
        "battery": {"kind": "battery", "at": battery, "system": "all"},
        "G1": {"kind": "ground", "at": battery, "system": "all"},
    }
    return vehicle_of(devices, {}, CHAIN)


def genders(vehicle: Vehicle) -> dict[str, str]:
    return {id_: half.gender for id_, half in built(vehicle).connectors.items()}


def test_the_half_nearer_the_battery_has_the_sockets() -> None:
    # AC 43.13-1B, chapter 11 (memory): no bare pin is live when a connector is open
    assert genders(chain("nose")) == {
        "X1/front": "socket",
        "X1/middle": "pin",
        "X2/middle": "socket",
        "X2/rear": "pin",
    }
    assert genders(chain("tail")) == {
        "X1/front": "pin",
        "X1/middle": "socket",
        "X2/middle": "pin",
        "X2/rear": "socket",
    }


def test_the_author_says_which_half_has_the_sockets() -> None:
    found = genders(chain("nose", sockets="rear"))
    assert (found["X2/middle"], found["X2/rear"]) == ("pin", "socket")


def test_spare_contacts_are_counted_by_family() -> None:
    gate = {"unused": ["6"]}
    harness = built(across(2, gate))
    # six of 1.5 mm: two taken, one that must stay empty
    assert harness.spares == {"X1": {"pin-1.5": 3}}


def faces(harness: Harness) -> dict[str, str]:
    return {pin.circuit: pin.cavity for pin in harness.pass_pins}


def test_a_signal_keeps_away_from_what_is_switched() -> None:
    # the coil's current is below the limit for heavy ones, but it is cut off sharply
    vehicle = across(2)
    devices = dict(vehicle.devices)
    devices["t1"] = replace(devices["t1"], kind="ignition coil")
    quiet = replace(
        vehicle.circuits["c2"],
        written=vehicle.circuits["c2"].written.model_copy(update={"signal": True}),
    )
    loud = replace(vehicle, devices=devices, circuits=vehicle.circuits | {"c2": quiet})
    taken = faces(built(loud))
    assert abs(int(taken["c1"]) - int(taken["c2"])) > 1
    alike = faces(built(vehicle))
    assert abs(int(alike["c1"]) - int(alike["c2"])) == 1


def test_power_is_spread_over_the_face() -> None:
    harness, problems = build_harness(across(3), {"c1": 8.0, "c2": 8.0, "c3": 0.1})
    assert harness is not None, problems
    taken = faces(harness)
    assert abs(int(taken["c1"]) - int(taken["c2"])) > 1

"""What was built stays: the record keeps labels, colours, contacts, splices, sizes and lengths."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from buildbook.as_built.compare import Alteration, alterations
from buildbook.as_built.model import AsBuilt
from buildbook.as_built.read import read_as_built
from buildbook.as_built.text import as_built_text
from buildbook.description.read import AS_BUILT
from buildbook.harness.build import build_harness
from buildbook.harness.model import Harness
from buildbook.result import Result
from buildbook.sizing.as_built import as_built_now
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle
from tests.checks import minimal
from tests.harness.sound import check_all
from tests.harness.test_routes_and_splices import STAR
from tests.harness.trees import descriptions, joined, plug, run, sensor


def half_mm2(harness: Harness) -> Sizing:
    """Every wire in 0.5 mm2, or as it was built."""
    return minimal.sizing(
        *(
            minimal.sized(wire.id, wire.built_size.label if wire.built_size else "0.5 mm2")
            for wire in harness.wires.values()
        )
    )


def built(vehicle: Vehicle) -> tuple[Harness, AsBuilt]:
    harness, problems = build_harness(vehicle)
    assert harness is not None, problems
    return harness, as_built_now(vehicle, harness, half_mm2(harness))


def read_back(record: AsBuilt, folder: Path) -> AsBuilt:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / AS_BUILT).write_text(as_built_text(record), encoding="utf-8")
    found, problems = read_as_built(folder)
    assert found is not None, problems
    return found


def described(
    devices: dict[str, Any], circuits: dict[str, Any], rope: dict[str, Any] = STAR, **more: Any
) -> dict[str, Any]:
    base = {
        "battery": {"kind": "battery", "at": "hub", "system": "all"},
        "G1": {"kind": "ground", "at": "hub", "system": "all"},
    }
    return {
        "plugs": {f"plug-{n}": plug(n) for n in range(1, 6)} | {"gate": plug(6)},
        "devices": base | devices,
        "circuits": {"battery ground": {"join": ["battery.-", "G1"]}} | circuits,
        "rope": rope,
        **more,
    }


THREE = {"s": sensor("a", 2), "t": sensor("b", 2), "u": sensor("d", 2)}


def again(record: AsBuilt, data: dict[str, Any]) -> tuple[Harness, tuple[Alteration, ...]]:
    """Build a changed description over a record: the harness, and what would alter."""
    harness, new = built(joined(data, record))
    return harness, alterations(record, new)


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(descriptions())
def test_a_recorded_vehicle_is_built_as_recorded(tmp_path: Path, data: dict[str, Any]) -> None:
    first, record = built(joined(data))
    record = read_back(record, tmp_path / "r")
    vehicle = joined(data, record)
    harness, new = built(vehicle)
    assert alterations(record, new) == ()
    assert as_built_text(new) == as_built_text(record)
    assert harness.wires.keys() == first.wires.keys()
    check_all(vehicle, harness)


LOOP = {
    "front": {"runs": [run("f0", "f2", 188)]},
    "middle": {"runs": [run("f2", "m1", 655), run("m1", "m2", 961), run("m2", "m3", 543)]},
    "rear": {"runs": [run("m1", "r1", 74), run("m1", "r2", 2430), run("m1", "m3", 65)]},
}
"""Middle and rear meet twice, at m1 and m3: what was built through the one stays out of the other,
and a shortest tree is then found from another of its ends."""


@pytest.mark.parametrize("order", ["124", "142", "324", "412", "421", "3124", "15243"])
def test_wires_keep_their_order_and_first_ends_where_harnesses_meet_twice(
    tmp_path: Path, order: str
) -> None:
    def between(at: str, a: str, b: str) -> dict[str, Any]:
        return {"kind": "pass-through", "at": at, "plug": "gate", "between": [a, b]}

    devices = {
        "X2": between("f2", "front", "middle"),
        "Y3": between("m3", "middle", "rear"),
        "X3": between("m1", "middle", "rear"),
        "battery": {"kind": "battery", "at": "f0", "system": "all"},
        "G1": {"kind": "ground", "at": "r2", "system": "all"},
        "d1": sensor("r1", 1),
        "d2": sensor("f0", 1),
        "d3": sensor("r2", 1),
        "d4": sensor("m2", 1),
        "d5": sensor("m1", 1),
    }
    data = described(devices, {"c": {"join": [f"d{n}.1" for n in order]}}, LOOP)
    _, record = built(joined(data))
    record = read_back(record, tmp_path)
    _, new = built(joined(data, record))
    assert as_built_text(new) == as_built_text(record)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(descriptions())
def test_adding_a_circuit_changes_nothing_recorded(tmp_path: Path, data: dict[str, Any]) -> None:
    _, record = built(joined(data))
    record = read_back(record, tmp_path / "r")
    points = [device["at"] for device in data["devices"].values() if "plug-1" in device.values()]
    places = [*points, data["devices"]["G1"]["at"], data["devices"]["battery"]["at"]]
    more = {f"z{at}": sensor(point, 1) for at, point in enumerate(places)}
    # in front of all others, where it would have moved every number after it
    circuits = {"new": {"join": [f"{name}.1" for name in more]}} | data["circuits"]
    vehicle = joined(data | {"devices": more | data["devices"], "circuits": circuits}, record)
    harness, new = built(vehicle)
    assert [(a.circuit, a.kind) for a in alterations(record, new)] == [("new", "added")]
    others = {name: new.circuits[name] for name in record.circuits}
    kept = new.model_copy(update={"circuits": others})
    assert sorted(as_built_text(kept).splitlines()) == sorted(as_built_text(record).splitlines())
    check_all(vehicle, harness)


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(descriptions())
def test_a_circuit_that_grows_leaves_the_others_alone(tmp_path: Path, data: dict[str, Any]) -> None:
    _, record = built(joined(data))
    record = read_back(record, tmp_path / "r")
    grown = {"join": [*data["circuits"]["supply"]["join"], "z.1"]}
    changed = data | {
        "devices": data["devices"] | {"z": sensor(data["devices"]["G1"]["at"], 1)},
        "circuits": data["circuits"] | {"supply": grown},
    }
    vehicle = joined(changed, record)
    harness, new = built(vehicle)
    assert {a.circuit for a in alterations(record, new)} == {"supply"}
    old, now = record.circuits["supply"], new.circuits["supply"]
    assert (now.number, now.colour) == (old.number, old.colour)
    for id_ in old.wires.keys() & now.wires.keys():  # no label is given to another wire
        same = now.wires[id_].model_copy(update={"length": old.wires[id_].length})
        assert same == old.wires[id_] and now.wires[id_].length == pytest.approx(same.length)
    check_all(vehicle, harness)


def test_the_example_is_built_as_recorded(lapwing: Result, tmp_path: Path) -> None:
    record = as_built_now(lapwing.vehicle, lapwing.harness, lapwing.sizing)
    again = read_back(record, tmp_path)
    assert alterations(again, record) == () and as_built_text(again) == as_built_text(record)
    wires = {id_ for circuit in again.circuits.values() for id_ in circuit.wires}
    assert wires == set(lapwing.harness.wires)


def test_new_numbers_pass_over_those_given_and_those_taken_out() -> None:
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}"]} for n in (1, 2)}
    _, record = built(joined(described(THREE, circuits)))
    numbers = {name: circuit.number for name, circuit in record.circuits.items()}
    assert numbers == {"battery ground": 101, "c1": 102, "c2": 103}
    changed = {"new": {"join": ["u.1", "v.1"]}, "c2": circuits["c2"]}
    devices = THREE | {"v": sensor("c", 1)}
    vehicle = joined(described(devices, changed), record)
    assert {name: c.number for name, c in vehicle.circuits.items()} == {
        "battery ground": 101,
        "new": 104,
        "c2": 103,
    }
    _, found = again(record, described(devices, changed))
    assert [(a.circuit, a.kind, a.what) for a in found] == [
        ("c1", "removed", ("wire 102 to be taken out",)),
        ("new", "added", ("wire 104 to be laid in",)),
    ]


def test_a_pin_more_makes_a_splice_and_new_letters() -> None:
    _, record = built(joined(described(THREE, {"c": {"join": ["s.1", "t.1"]}})))
    circuits = {"c": {"join": ["s.1", "t.1", "u.1"]}}
    harness, found = again(record, described(THREE, circuits))
    assert [a.what for a in found] == [
        (
            "splice S102 to be made at hub",
            "wire 102 to be taken out",
            "wires 102a, 102b, 102c to be laid in",
        )
    ]
    assert "102" not in harness.wires


def test_the_author_overrules_what_was_built_and_is_told() -> None:
    circuit = {"join": ["s.1", "t.1", "u.1"]}
    _, record = built(joined(described(THREE, {"c": circuit})))
    was = record.circuits["c"].colour
    wanted = circuit | {"colour": "VT/YE", "splice at": "c"}
    harness, found = again(record, described(THREE, {"c": wanted}))
    assert [splice.point for splice in harness.splices.values()] == ["c"]
    (what,) = [a.what for a in found]
    assert f"colour {was} becomes VT/YE" in what
    assert "splice S102 at hub to be undone" in what
    assert "splice S102a to be made at c" in what


def test_a_splice_stays_where_the_copper_has_moved_on() -> None:
    circuit = {"c": {"join": ["s.1", "t.1", "u.1"]}}
    _, record = built(joined(described(THREE, circuit)))
    moved = record.model_copy(deep=True)
    splice = moved.circuits["c"].splices["S102"]
    moved.circuits["c"].splices["S102"] = splice.model_copy(
        update={"at": "c", "run": "main:c-d", "offset": 0.12}
    )
    harness, _ = built(joined(described(THREE, circuit), moved))
    (splice,) = harness.splices.values()
    assert (splice.id, splice.point, splice.run, splice.offset_m) == ("S102", "c", "main:c-d", 0.12)


OFF_THE_WAY = {
    "main": {
        "runs": [
            run("hub", "a", 210, zone="moving"),
            run("hub", "b", 50, zone="moving"),
            run("a", "c", 1000),
            run("b", "d", 3000),
        ]
    }
}
"""All rope at the hub moves: what ends there is spliced at b, on the other side of it."""


def test_a_splice_off_the_way_from_end_to_end_stays() -> None:
    devices = {"s": sensor("hub", 2), "t": sensor("c", 3)}
    circuits = {"c": {"join": ["s.1", "s.2", "t.1", "t.2", "t.3"]}}
    data = described(devices, circuits, OFF_THE_WAY)
    first, record = built(joined(data))
    assert {splice.point for splice in first.splices.values()} == {"b", "c"}
    harness, found = again(record, data)
    assert found == ()
    assert {splice.point for splice in harness.splices.values()} == {"b", "c"}


TWO = {
    "left": {"runs": [run("hub", "gate", 1000)]},
    "right": {"runs": [run("gate", "b", 1000)]},
}


def crossing(**more: Any) -> dict[str, Any]:
    devices = {
        "X1": {"kind": "pass-through", "at": "gate", "plug": "gate", "between": ["left", "right"]},
        "s": sensor("hub", 3),
        "t": sensor("b", 3),
    }
    devices["X1"] |= more
    circuits = {f"c{n}": {"join": [f"s.{n}", f"t.{n}"]} for n in (1, 2, 3)}
    return described(devices, circuits, TWO)


def test_contacts_stay_and_more_are_added_as_the_current_grows() -> None:
    vehicle = joined(crossing())
    _, record = built(vehicle)
    swapped = record.model_copy(deep=True)
    for name, cavity in (("c1", "5"), ("c2", "6"), ("c3", "1")):
        swapped.circuits[name].pins["X1"][:] = [cavity]
    # 20 A on a 12 A contact: at 80 percent of their sum two carry 19.2 A, so three
    harness, problems = build_harness(joined(crossing(), swapped), {"c2": 20.0})
    assert harness is not None, problems
    taken: dict[str, list[str]] = {}
    for pair in harness.pass_pins:
        taken.setdefault(pair.circuit, []).append(pair.cavity)
    assert taken["c1"] == ["5"] and taken["c3"] == ["1"]
    assert taken["c2"][0] == "6" and len(taken["c2"]) == 3


def test_a_contact_that_the_author_fixes_is_taken_from_the_record() -> None:
    _, record = built(joined(crossing()))
    held = record.circuits["c1"].pins["X1"][0]
    _, found = again(record, crossing(carries={held: "c2"}))
    assert {a.circuit for a in found} == {"c1", "c2"}
    assert any(f"of X1 becomes {held}" in what for a in found for what in a.what)


def lengthened(mm: int) -> dict[str, Any]:
    return {"main": {"runs": [*STAR["main"]["runs"][:3], run("c", "d", mm)]}}


@pytest.mark.parametrize(("more_mm", "reaches"), [(0, True), (40, True), (300, False)])
def test_a_built_length_stays_while_it_reaches(more_mm: int, reaches: bool) -> None:
    # two ends with 20 mm of loop and 20 mm to cut back each: 80 mm can be done without
    data = described(THREE, {"c": {"join": ["s.1", "u.1"]}})
    first, record = built(joined(data))
    harness, found = again(record, data | {"rope": lengthened(500 + more_mm)})
    wire = harness.wires["102"]
    assert (wire.cut_m == pytest.approx(record.circuits["c"].wires["102"].length)) == reaches
    if reaches:
        assert found == ()
        assert wire.cut_m == pytest.approx(first.wires["102"].cut_m, abs=0.0005)
    else:
        (what,) = found[0].what
        assert "no longer reaches" in what
        assert wire.cut_m == pytest.approx(first.wires["102"].cut_m + more_mm / 1000)


def test_a_length_measured_on_the_bench_may_be_written_in() -> None:
    data = described(THREE, {"c": {"join": ["s.1", "u.1"]}})
    first, record = built(joined(data))
    longer = record.model_copy(deep=True)
    wire = longer.circuits["c"].wires["102"]
    longer.circuits["c"].wires["102"] = wire.model_copy(update={"length": wire.length + 0.05})
    harness, found = again(longer, data)
    assert found == ()
    extra = {part.kind: part.length_m for part in harness.wires["102"].addends}["as built"]
    assert extra == pytest.approx(0.05, abs=0.0005)
    assert harness.wires["102"].cut_m - first.wires["102"].cut_m == pytest.approx(0.05, abs=0.0005)


def test_a_label_given_twice_in_the_record_is_a_problem(tmp_path: Path) -> None:
    _, record = built(joined(described(THREE, {"c": {"join": ["s.1", "t.1"]}})))
    text = as_built_text(record).replace("number: 102", "number: 101").replace("'102'", "'101'")
    (tmp_path / AS_BUILT).write_text(text, encoding="utf-8")
    found, problems = read_as_built(tmp_path)
    assert sorted(p.what for p in problems) == [
        "number 101 is recorded for `c` and for `battery ground`",
        "wire 101 is recorded for `c` and for `battery ground`",
    ]
    assert all(p.where.file == AS_BUILT and p.where.line > 4 for p in problems)


def test_a_misspelt_key_in_the_record_is_pointed_at(tmp_path: Path) -> None:
    _, record = built(joined(described(THREE, {"c": {"join": ["s.1", "t.1"]}})))
    text = as_built_text(record).replace("colour: WH", "color: WH", 1)
    assert "color:" in text
    (tmp_path / AS_BUILT).write_text(text, encoding="utf-8")
    found, problems = read_as_built(tmp_path)
    assert found is None and any("colour" in p.hint for p in problems)


def test_size_and_family_as_built_are_compared() -> None:
    vehicle = joined(described(THREE, {"c": {"join": ["s.1", "t.1"]}}))
    harness, record = built(vehicle)
    sizing = half_mm2(harness)
    thicker = replace(sizing.wires["102"], label="1 mm2", area_mm2=1.0)
    changed = replace(sizing, wires=sizing.wires | {"102": thicker})
    (found,) = alterations(record, as_built_now(vehicle, harness, changed))
    assert found.what == ("wire 102 of 0.5 mm2 becomes 1 mm2",)

"""Harnesses of the test vehicles and of random ones are sound."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings

from buildbook.description.read import read_folder
from buildbook.harness.build import build_harness
from buildbook.harness.model import Wire
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle
from tests.harness.sound import check_all, check_joins
from tests.harness.trees import vehicles

ROOT = Path(__file__).parents[2]
FOLDERS = ("tests/vehicles/two-wire", "tests/vehicles/motorcycle", "example_vehicle")


def vehicle_in(folder: str) -> Vehicle:
    reading, problems = read_folder(ROOT / folder)
    assert reading is not None, problems
    vehicle, problems = join(reading)
    assert vehicle is not None, problems
    return vehicle


@pytest.mark.parametrize("folder", FOLDERS)
def test_test_vehicles_have_sound_harnesses(folder: str) -> None:
    vehicle = vehicle_in(folder)
    harness, problems = build_harness(vehicle)
    assert harness is not None, problems
    check_all(vehicle, harness)


@pytest.mark.parametrize("folder", FOLDERS)
def test_wire_ids_carry_the_number_of_their_circuit(folder: str) -> None:
    vehicle = vehicle_in(folder)
    harness, _ = build_harness(vehicle)
    assert harness is not None
    for circuit in vehicle.circuits.values():
        own = [wire.id for wire in harness.wires.values() if wire.circuit == circuit.id]
        assert own
        if len(own) == 1:
            assert own == [str(circuit.number)]
        else:
            assert own[:3] == [f"{circuit.number}{letter}" for letter in "abc"[: len(own)]]


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_same_vehicle_gives_the_same_harness(folder: str) -> None:
    assert build_harness(vehicle_in(folder)) == build_harness(vehicle_in(folder))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles())
def test_random_rope_trees_have_sound_harnesses(vehicle: Vehicle) -> None:
    harness, problems = build_harness(vehicle)
    assert harness is not None, problems
    check_all(vehicle, harness)


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles())
def test_random_harnesses_stay_sound_with_contacts_in_parallel(vehicle: Vehicle) -> None:
    # 20 A on 12 A contacts: at 80 percent of their sum two carry 19.2 A, so three
    heavy = next(iter(vehicle.circuits))
    harness, problems = build_harness(vehicle, {heavy: 20.0})
    assert harness is not None, problems
    check_all(vehicle, harness)
    for through in vehicle.pass_throughs:
        own = [p for p in harness.pass_pins if (p.device, p.circuit) == (through.device, heavy)]
        assert len(own) in (0, 3)


def test_the_join_check_sees_a_missing_wire_and_a_wrong_one() -> None:
    vehicle = vehicle_in("tests/vehicles/motorcycle")
    harness, _ = build_harness(vehicle)
    assert harness is not None
    splice = next(iter(harness.splices.values()))
    wires = {id_: wire for id_, wire in harness.wires.items() if id_ != splice.wires[0]}
    with pytest.raises(AssertionError):
        check_joins(vehicle, replace(harness, wires=wires))
    plugged = [wire for wire in harness.wires.values() if wire.a.cavity]
    one, other = (next(w for w in plugged if w.circuit == c) for c in _two_circuits(plugged))
    stray = replace(one, b=other.a)
    with pytest.raises(AssertionError):
        check_joins(vehicle, replace(harness, wires=harness.wires | {one.id: stray}))


def _two_circuits(wires: list[Wire]) -> tuple[str, str]:
    first, second = list(dict.fromkeys(wire.circuit for wire in wires))[:2]
    return first, second


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles())
def test_a_wire_between_two_pins_takes_the_shortest_way(vehicle: Vehicle) -> None:
    # the length by a plain shortest-path search over (harness, point), crossings free; a
    # crossing counts half a metre when ways are compared, and there are at most two of them
    harness, _ = build_harness(vehicle)
    assert harness is not None
    graph: nx.Graph = nx.Graph()
    for run in vehicle.runs:
        a, b = (run.harness, run.from_point), (run.harness, run.to_point)
        graph.add_edge(a, b, length=run.length_m)
    for through in vehicle.pass_throughs:
        one, other = through.harnesses
        graph.add_edge((one, through.point), (other, through.point), length=0.0)
    lengths = {run.id: run.length_m for run in vehicle.runs}
    for circuit in vehicle.circuits.values():
        if len(circuit.pins) != 2:
            continue
        wires = [wire for wire in harness.wires.values() if wire.circuit == circuit.id]
        laid = sum(lengths[run] for wire in wires for run in wire.runs)
        starts, stops = (
            [node for node in graph if node[1] == vehicle.devices[pin.device].point]
            for pin in circuit.pins
        )
        least = min(
            nx.shortest_path_length(graph, a, b, weight="length") for a in starts for b in stops
        )
        assert least - 1e-9 <= laid <= least + 1.0 + 1e-9


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles())
def test_no_single_splice_point_would_take_less_copper(vehicle: Vehicle) -> None:
    # every point that the circuit passes is tried by hand as its only splice, moving rope aside
    still = {run.from_point for run in vehicle.runs} | {run.to_point for run in vehicle.runs}
    for run in vehicle.runs:
        if run.zone == "moving":
            still -= {run.from_point, run.to_point}
    harness, _ = build_harness(vehicle)
    assert harness is not None
    lengths = {run.id: run.length_m for run in vehicle.runs}
    for splice in harness.splices.values():
        others = [s for s in harness.splices.values() if s.circuit == splice.circuit]
        wires = [harness.wires[id_] for id_ in splice.wires]
        if any(s.harness == splice.harness for s in others if s is not splice) or len(wires) > 6:
            continue
        graph: nx.Graph = nx.Graph()
        for run in vehicle.runs:
            if run.harness == splice.harness:
                graph.add_edge(run.from_point, run.to_point, length=run.length_m)
        ends = [wire.a.point for wire in wires]
        laid = sum(lengths[run] for wire in wires for run in wire.runs)
        on_the_way = {point for wire in wires for point in wire.points}
        for point in still & on_the_way:
            reach = nx.single_source_dijkstra_path_length(graph, point, weight="length")
            if splice.point in still:
                assert laid <= sum(reach[end] for end in ends) + 1e-6

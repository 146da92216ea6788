"""What must hold of every harness, whatever the vehicle."""

from __future__ import annotations

from collections import Counter

import networkx as nx

from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle


def check_joins(vehicle: Vehicle, harness: Harness) -> None:
    """Every circuit's pins are joined by its own wires, splices and contacts, and by no others."""
    whole: nx.Graph = nx.Graph()
    owner: dict[str, str] = {}
    for circuit in vehicle.circuits.values():
        own: nx.MultiGraph = nx.MultiGraph()
        own.add_nodes_from(pin.id for pin in circuit.pins)
        wires = [wire for wire in harness.wires.values() if wire.circuit == circuit.id]
        own.add_edges_from((wire.a.node, wire.b.node) for wire in wires)
        for pin in harness.pass_pins:
            if pin.circuit == circuit.id:
                one, other = (f"{pin.device}.{pin.cavity}/{h}" for h in pin.wires)
                own.add_edge(one, other)
        assert nx.is_connected(own), f"{circuit.id} is in pieces"
        assert own.number_of_edges() >= len(wires)
        studs = {pin.id for pin in circuit.pins if pin.stud}
        for node in own.nodes:
            assert node in studs or owner.setdefault(node, circuit.id) == circuit.id, node
        whole.add_edges_from(own.edges())
    circuits = {wire.circuit for wire in harness.wires.values()}
    assert circuits == set(vehicle.circuits)


def check_ends(vehicle: Vehicle, harness: Harness) -> None:
    """One wire to a pin, three or more to a splice, one on each side of a contact."""
    ends = Counter(end.node for wire in harness.wires.values() for end in (wire.a, wire.b))
    for node, ids in harness.wire_at.items():
        assert ends[node] == len(ids)
        for id_ in ids:
            assert node in (harness.wires[id_].a.node, harness.wires[id_].b.node)
    for pin in vehicle.pins.values():
        if not pin.stud and vehicle.circuit_of_pin.get(pin.id):
            assert ends[pin.id] == 1, pin.id
    for splice in harness.splices.values():
        assert ends[splice.id] == len(splice.wires) >= 3
        assert {harness.wires[id_].harness for id_ in splice.wires} == {splice.harness}
    for pin in harness.pass_pins:
        for side, wire in pin.wires.items():
            assert harness.wire_at[f"{pin.device}.{pin.cavity}/{side}"] == (wire,)
            assert harness.wires[wire].harness == side
    taken = Counter((pin.device, pin.cavity) for pin in harness.pass_pins)
    assert all(count == 1 for count in taken.values())


def check_paths(vehicle: Vehicle, harness: Harness) -> None:
    """A wire follows joined runs of its own harness and is never shorter than its path."""
    runs = {run.id: run for run in vehicle.runs}
    for wire in harness.wires.values():
        assert (wire.points[0], wire.points[-1]) == (wire.a.point, wire.b.point)
        assert len(set(wire.points)) == len(wire.points)
        assert len(wire.runs) == len(wire.points) - 1
        for id_, a, b in zip(wire.runs, wire.points, wire.points[1:], strict=False):
            assert {runs[id_].from_point, runs[id_].to_point} == {a, b}
            assert runs[id_].harness == wire.harness
        assert wire.cut_m > sum(runs[id_].length_m for id_ in wire.runs)
        assert all(part.length_m > 0 for part in wire.addends)
    for run, bundle in harness.bundles.items():
        assert set(bundle.wires) == {w.id for w in harness.wires.values() if run in w.runs}
    assert set(harness.bundles) == set(runs)


def check_marks(vehicle: Vehicle, harness: Harness) -> None:
    """No two splices lie at the same mark of a harness."""
    marks = [(s.harness, s.point, s.run, s.offset_m) for s in harness.splices.values()]
    assert len(set(marks)) == len(marks)
    runs = {run.id: run for run in vehicle.runs}
    for splice in harness.splices.values():
        assert bool(splice.offset_m) == bool(splice.run) or not splice.run
        if splice.run:
            run = runs[splice.run]
            assert splice.point in (run.from_point, run.to_point)


def check_all(vehicle: Vehicle, harness: Harness) -> None:
    """Everything that makes a harness sound."""
    check_joins(vehicle, harness)
    check_ends(vehicle, harness)
    check_paths(vehicle, harness)
    check_marks(vehicle, harness)

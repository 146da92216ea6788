"""Ground map: every wire of every stud once, with the amps and millivolts that were solved."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from buildbook.drawing.maps.ground import ground_maps, signed, words_of
from buildbook.electrical.grounds import ground_points, nodes_behind
from buildbook.figures import current
from tests.drawing.reading import faults, letterings, points, shapes

VEHICLES = ("two_wire", "motorcycle", "lapwing")


def points_of(result):
    return ground_points(result.vehicle, result.harness, result.solved)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_wire_on_a_stud_is_on_the_map_once(vehicle, request):
    result = request.getfixturevalue(vehicle)
    sheets = ground_maps(result)
    assert [f for d in sheets for f in faults(d)] == []
    texts = [t.text for d in sheets for t in letterings(d)]
    wanted = Counter()
    for ground in result.vehicle.all_of("ground"):
        assert texts.count(ground.id) == 1
        for pin in ground.pins:
            for id_ in result.harness.wire_at.get(pin.id, ()):
                label = result.sizing.wires[id_].label.removesuffix(" mm2")
                wanted[f"{id_} {result.harness.wires[id_].colour} {label}"] += 1
    found = Counter(t for t in texts if t in wanted)
    assert found == wanted and sum(wanted.values()) > 0


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_amps_into_the_body_are_those_of_the_ground_itself(vehicle, request):
    """Kirchhoff: what the wires bring to a stud leaves it through its joint with the body."""
    result = request.getfixturevalue(vehicle)
    for point in points_of(result):
        joint = abs(result.solved.meter[point.state].current_a[f"ground:{point.device.id}"])
        assert abs(point.current_a) == pytest.approx(joint, abs=1e-4)
        assert point.current_a == pytest.approx(sum(w.current_a for w in point.wires))


def test_all_grounds_together_bring_the_body_nothing(lapwing):
    """Kirchhoff, of the body: in one state as much leaves it as comes in."""
    for solution in lapwing.solved.meter.values():
        flows = [solution.current_a[b.id] for b in solution.branches.values() if b.kind == "ground"]
        assert sum(flows) == pytest.approx(0, abs=1e-4)


def test_no_state_takes_a_stud_further_or_more_amps_through_its_wires(lapwing):
    for point in points_of(lapwing):
        for solution in lapwing.solved.meter.values():
            stud = max(abs(solution.volts[pin.id]) for pin in point.device.pins)
            assert abs(point.furthest_v) >= stud - 1e-9
            amps = sum(abs(solution.current_a[f"wire:{w.wire}"]) for w in point.wires)
            assert sum(abs(w.current_a) for w in point.wires) >= amps - 1e-9


def test_the_map_shows_the_solved_figures(lapwing):
    (sheet,) = ground_maps(lapwing)
    texts = [t.text for t in letterings(sheet)]
    for point in points_of(lapwing):
        meter = lapwing.solved.meter[point.state]
        volts = meter.volts[point.device.pins[0].id]
        assert f"{current(point.current_a)}, {signed(volts * 1000, 0)} mV" in texts
        for wire in point.wires:
            amps = abs(meter.current_a[f"wire:{wire.wire}"])
            said = current(wire.current_a, 2)
            assert said.lstrip("−") == (f"{amps:.2f} A" if amps >= 0.1 else current(amps))
            assert said in texts


def test_what_comes_through_a_splice_is_every_device_of_its_circuit(lapwing):
    """Found from the circuit's own pins, without following wires."""
    for point in points_of(lapwing):
        for wire in (w for w in point.wires if w.splices):
            circuit = lapwing.vehicle.circuits[lapwing.harness.wires[wire.wire].circuit]
            studs = {pin.id for pin in point.device.pins}
            assert set(wire.pins) == {pin.id for pin in circuit.pins} - studs
            assert words_of(wire).startswith(wire.splices[0])


def test_the_way_goes_on_through_a_pass_through(lapwing):
    through = [
        w
        for w in lapwing.harness.wires.values()
        if "half" in (w.a.kind, w.b.kind) and "pin" in (w.a.kind, w.b.kind)
    ]
    assert through
    for wire in through:
        start = wire.a if wire.a.kind == "pin" else wire.b
        pins = {pin.id for pin in lapwing.vehicle.circuits[wire.circuit].pins}
        behind = set(nodes_behind(lapwing.harness, wire, start.node))
        assert behind & pins <= pins - {start.node}
        assert len(behind & pins) >= 1 or not pins - {start.node}


@pytest.mark.parametrize("count", [1, 40, 300])
def test_a_stud_with_many_wires_goes_on_in_another_column(lapwing, count):
    """One stud with `count` wires, each to a device with a long name."""
    old = lapwing.vehicle.devices["G5"]
    model = next(
        wire for wire in lapwing.harness.wires.values() if "G5.stud" in (wire.a.node, wire.b.node)
    )
    end, far = (model.b, model.a) if model.b.node == "G5.stud" else (model.a, model.b)
    wires = {
        f"9{n:03}": replace(
            model, id=f"9{n:03}", b=end, a=replace(far, node=f"a lamp of a very long name {n}.feed")
        )
        for n in range(count)
    }
    harness = replace(lapwing.harness, wires=wires, wire_at={"G5.stud": tuple(wires)})
    meter = {
        s: replace(m, current_a={f"wire:{w}": 1.0 for w in wires})
        for s, m in lapwing.solved.meter.items()
    }
    solved, sizing = replace(lapwing.solved, meter=meter), replace(lapwing.sizing, wires={})
    vehicle = replace(lapwing.vehicle, devices={"G5": old})
    sheets = ground_maps(
        replace(lapwing, vehicle=vehicle, harness=harness, solved=solved, sizing=sizing)
    )
    assert [f for d in sheets for f in faults(d)] == []
    texts = [t.text for d in sheets for t in letterings(d)]
    assert all(sum(t.startswith(f"{w} ") for t in texts) == 1 for w in wires)
    leads = [points(line) for d in sheets for line in shapes(d, "polyline", "lead")]
    assert len(leads) == count

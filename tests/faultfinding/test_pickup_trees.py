"""Trees of pickups, injectors and coils, followed on the broken car in the circuit simulator.

With the target in front of the sensor and away from it: neither healthy level may lead astray.
All of the faults are tried by tests/benchmarks/test_all_pickup_trees.py.
"""

from __future__ import annotations

import shutil

import pytest

from buildbook.export.faults import symptom_rows
from tests.faultfinding.simulated_mechanic import SimulatedCar, arrives

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)


def faults_of(result, device):
    """Faults on a device's circuits that are in the table of symptoms."""
    circuits = result.vehicle.circuit_of_pin
    own = {c for pin in result.vehicle.devices[device].pins for c in circuits.get(pin.id, ())}
    shared = {c for c in own if len(result.vehicle.circuits[c].pins) > 2}
    pins = {p.id for c in own - shared for p in result.vehicle.circuits[c].pins}
    pins |= {pin.id for pin in result.vehicle.devices[device].pins}
    wires = {
        w.id
        for w in result.harness.wires.values()
        if w.circuit in own - shared or {w.a.node, w.b.node} & pins
    }
    told = {f for symptom in result.faultfinding.symptoms for f in symptom.suspects}
    branches = {f"pin:{pin}" for pin in pins} | {f"wire:{wire}" for wire in wires}
    branches |= {f"load:{load.id}" for load in result.vehicle.devices[device].loads}
    return [
        fault
        for fault in result.faultfinding.faults.values()
        if fault.branch in branches and fault.id in told and fault.mode != "swap"
    ]


def lost(result, faults, folder):
    """Faults that the tree does not lead to, at either level of the pickups."""
    row_of = {f: row for row in symptom_rows(result) for f in row["suspects"]}
    return [
        (fault.id, tooth)
        for fault in faults
        for tooth in (True, False)
        if not arrives(row_of[fault.id], SimulatedCar(result, fault, tooth, folder))
    ]


@pytest.mark.parametrize("device", ["crank-sensor", "injector-1", "coil-1"])
def test_the_trees_lead_to_every_fourth_open_and_short(lapwing, device, tmp_path):
    faults = [f for f in faults_of(lapwing, device) if f.mode in ("open", "short")]
    assert len(faults) >= 8
    assert not lost(lapwing, faults[::4], tmp_path)

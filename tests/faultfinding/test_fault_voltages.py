"""Faulted voltages against a general-purpose circuit simulator, run afresh on random faults.

Relays and controllers are taken in the positions in which we found them; the simulator judges
the volts, and its volts at the coils and feeds are then asked whether those positions hold.
Two hundred faults of the example are tried by tests/benchmarks/test_two_hundred_faults.py.
"""

from __future__ import annotations

import shutil

import pytest

from tests.faultfinding.simulated import (
    broken,
    contacts_astray,
    off_by,
    simulated_volts,
    some_points,
)

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)


@pytest.mark.parametrize(("name", "count"), [("motorcycle", 30), ("lapwing", 15)])
def test_faulted_volts_agree_within_a_millivolt_at_every_node(name, count, request, tmp_path):
    car = broken(request.getfixturevalue(name))
    for at in some_points(car, count):
        simulated = simulated_volts(at, tmp_path)
        assert not off_by(at, simulated), (at.fault.id, at.case.state)
        assert not contacts_astray(car, at, simulated), (at.fault.id, at.case.state)

"""Every fault of the tables of six vehicles broken in turn, and its tree followed with a meter.

`pytest -n 0 -s tests/benchmarks/test_every_fault_is_found.py` prints the shares that arrive, in
minutes; the suite tries one in so many (tests/faultfinding/test_mechanic.py).
"""

from __future__ import annotations

import pytest

from tests.faultfinding.standing_cars import cars_of
from tests.faultfinding.test_mechanic import check

VEHICLES = ("two_wire", "starter", "motorcycle", "positive_earth", "two_batteries", "lapwing")

LOSES_V = 1.0
"""What a poor joint takes from which 95 in 100 have to be found."""


def told(result, mode):
    """Ids of the faults of one mode that are suspects of any symptom."""
    finding = result.faultfinding
    listed = {fault for symptom in finding.symptoms for fault in symptom.suspects}
    return {f for f in listed if finding.faults[f].mode == mode}


def losing(result, faults):
    """Ids of the poor joints that take more than a volt in a state in which they carry current."""
    found = set()
    for car in cars_of(result, faults):
        branches = (e.branch for e in car.network.elements)
        a, b = next((x.a, x.b) for x in branches if x.id == car.fault.branch)
        for state, solution in result.solved.meter.items():
            volts = car.volts[state]
            taken = abs(volts.get(a, 0.0) - volts.get(b, 0.0))
            if car.fault.branch in solution.branches and taken > LOSES_V:
                found.add(car.fault.id)
    return found


@pytest.mark.parametrize("mode", ["open", "short", "stuck"])
@pytest.mark.parametrize("name", VEHICLES)
def test_every_break_and_short_is_found(name, mode, request):
    result = request.getfixturevalue(name)
    wanted = told(result, mode)
    lost, counts = check(result, lambda f: f.id in wanted)
    print(f"{name}, {mode}: {len(counts) - len(lost)} of {len(counts)} found, lost {lost}")
    assert len(counts) == len(wanted)
    assert not lost


@pytest.mark.parametrize("name", VEHICLES)
def test_joints_that_lose_a_volt_are_found(name, request):
    result = request.getfixturevalue(name)
    faults = result.faultfinding.faults
    wanted = losing(result, [faults[f] for f in sorted(told(result, "resistive"))])
    lost, counts = check(result, lambda f: f.id in wanted)
    print(f"{name}, joints over 1 V: {len(counts) - len(lost)} of {len(counts)}, lost {lost}")
    assert len(counts) == len(wanted)
    assert len(lost) <= 0.05 * len(counts)

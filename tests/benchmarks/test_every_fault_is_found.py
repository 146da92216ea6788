"""Every fault of the tables of six vehicles broken in turn, and its tree followed with a meter.

`pytest -n 0 -s tests/benchmarks/test_every_fault_is_found.py` prints the shares that arrive, in
an hour or so, nearly all of it the example's; the suite tries one in so many
(tests/faultfinding/test_mechanic.py).
"""

from __future__ import annotations

import pytest

from tests.faultfinding.test_mechanic import Car, check

VEHICLES = ("two_wire", "starter", "motorcycle", "positive_earth", "two_batteries", "lapwing")

LOSES_V = 1.0
"""What a poor joint takes from which 95 in 100 have to be found."""


def told(result, mode):
    """Ids of the faults of one mode that are suspects of any symptom."""
    finding = result.faultfinding
    listed = {fault for symptom in finding.symptoms for fault in symptom.suspects}
    return {f for f in listed if finding.faults[f].mode == mode}


def loses(result, fault):
    """Most volts that a poor joint takes in any state in which it carries current."""
    car, found = Car(result, fault), 0.0
    ends = next(
        (e.branch.a, e.branch.b) for e in car.network.elements if e.branch.id == fault.branch
    )
    for state, solution in result.solved.meter.items():
        if fault.branch in solution.branches:
            a, b = (car.volts[state].get(node, 0.0) for node in ends)
            found = max(found, abs(a - b))
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
    wanted = {f for f in told(result, "resistive") if loses(result, faults[f]) > LOSES_V}
    lost, counts = check(result, lambda f: f.id in wanted)
    print(f"{name}, joints over 1 V: {len(counts) - len(lost)} of {len(counts)}, lost {lost}")
    assert len(counts) == len(wanted)
    assert len(lost) <= 0.05 * len(counts)

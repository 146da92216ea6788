"""Every fault of the example's table broken in turn, and its tree followed with a meter.

`pytest -n 0 -s tests/benchmarks/test_every_fault_is_found.py` prints the shares that arrive, in
half an hour or so; the suite tries one in so many (tests/faultfinding/test_mechanic.py).
"""

from __future__ import annotations

import pytest

from tests.faultfinding.test_mechanic import Car, check

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


@pytest.mark.parametrize(("mode", "share"), [("open", 1.0), ("short", 1.0), ("stuck", 1.0)])
def test_every_break_and_short_is_found(lapwing, mode, share):
    wanted = told(lapwing, mode)
    lost, counts = check(lapwing, lambda f: f.id in wanted)
    print(f"{mode}: {len(counts) - len(lost)} of {len(counts)} found, lost {lost}")
    assert len(counts) == len(wanted)
    assert len(counts) - len(lost) >= share * len(counts)


def test_joints_that_lose_a_volt_are_found(lapwing):
    faults = lapwing.faultfinding.faults
    wanted = {f for f in told(lapwing, "resistive") if loses(lapwing, faults[f]) > LOSES_V}
    lost, counts = check(lapwing, lambda f: f.id in wanted)
    print(f"joints over 1 V: {len(counts) - len(lost)} of {len(counts)} found, lost {lost}")
    assert len(counts) == len(wanted)
    assert len(lost) <= 0.05 * len(counts)

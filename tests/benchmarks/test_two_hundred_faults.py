"""Two hundred random faults of the example against the circuit simulator.

    python -m pytest -n 0 -s tests/benchmarks/test_two_hundred_faults.py

Run by name only: minutes. What each costs is timed by `test_sweep.py`.
"""

from __future__ import annotations

from tests.faultfinding.simulated import (
    broken,
    chatters,
    contacts_astray,
    off_by,
    simulated_volts,
    some_points,
)

POINTS = 200


def test_volts_and_contacts_agree(lapwing, tmp_path):
    car, off, astray, restless = broken(lapwing), [], [], []
    modes = set()
    for at in some_points(car, POINTS):
        simulated = simulated_volts(at, tmp_path)
        modes.add(at.fault.mode)
        off += [(at.fault.id, at.case.state)] if off_by(at, simulated) else []
        for name in contacts_astray(car, at, simulated):
            found = restless if chatters(car, at, name, tmp_path) else astray
            found.append((at.fault.id, at.case.state, name))
    print(f"\n{POINTS} points; contacts that can rest in neither position: {restless}")
    assert not off
    assert not astray
    assert modes == {"open", "resistive", "short", "stuck", "swap"}

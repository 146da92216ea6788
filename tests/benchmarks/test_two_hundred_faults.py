"""Two hundred random faults of the example against the circuit simulator.

    python -m pytest -n 0 -s tests/benchmarks/test_two_hundred_faults.py

Run by name only: minutes. What each costs is timed by `test_sweep.py`.
"""

from __future__ import annotations

from tests.faultfinding.simulated import (
    broken,
    contacts_astray,
    off_by,
    simulated_volts,
    some_points,
)

POINTS = 200


def test_volts_and_contacts_agree(lapwing, tmp_path):
    car, astray = broken(lapwing), []
    modes = set()
    for at in some_points(car, POINTS):
        simulated = simulated_volts(at, tmp_path)
        modes.add(at.fault.mode)
        if off_by(at, simulated) or contacts_astray(car, at, simulated):
            astray.append((at.fault.id, at.case.state))
    assert not astray
    assert modes == {"open", "resistive", "short", "stuck", "swap"}

"""Two hundred random faults of the example against the circuit simulator, and both timed.

    python -m pytest -n 0 -s tests/benchmarks/test_two_hundred_faults.py

Run by name only: minutes. The simulator is started afresh for each operating point, as its
user would; its time is measured on these points and multiplied by the sweep's number of them.
Processor seconds are compared, so that a busy machine favours neither.
"""

from __future__ import annotations

import resource
import time

from buildbook.faultfinding.sweep import sweep
from tests.faultfinding.simulated import (
    broken,
    contacts_astray,
    off_by,
    simulated_volts,
    some_points,
)

POINTS = 200


def children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def test_volts_agree_and_the_sweep_takes_less_than_a_hundredth(lapwing, tmp_path):
    begin = time.process_time()
    swept = sweep(lapwing.vehicle, lapwing.harness, lapwing.sizing, lapwing.solved)
    ours_s = time.process_time() - begin
    car, simulator_s, astray = broken(lapwing), 0.0, []
    modes = set()
    for at in some_points(car, POINTS):
        begin = children_s()
        simulated = simulated_volts(at, tmp_path)
        simulator_s += children_s() - begin
        modes.add(at.fault.mode)
        if off_by(at, simulated) or contacts_astray(car, at, simulated):
            astray.append((at.fault.id, at.case.state))
    points = len(swept.faults) * len(swept.faulted)
    theirs_s = simulator_s / POINTS * points
    print(f"\n{points} points: sweep {ours_s:.1f} s, simulator {theirs_s:.0f} s (from {POINTS}),"
          f" ratio 1/{theirs_s / ours_s:.0f}")  # fmt: skip
    assert not astray
    assert modes == {"open", "resistive", "short", "stuck", "swap"}
    assert ours_s < theirs_s / 100

"""Breaks and shorts found by the printed chapter, with a meter on the circuit simulator; long.

`pytest -n 0 -s tests/benchmarks/test_printed_mechanic_with_the_simulator.py` prints the figures.
All of three vehicles; of the example that takes about an hour, so it comes in four parts, which
may run side by side.
"""

from __future__ import annotations

import shutil
import statistics
from collections import Counter

import pytest

from tests.faultfinding.simulator_meter import Simulator
from tests.faultfinding.standing_cars import cars_of
from tests.faultfinding.test_printed_mechanic import breaks_and_shorts, follow, held
from tests.simulator.read import folder
from tests.simulator.test_vehicles import FOLDERS, built_of

pytestmark = pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="the circuit simulator ngspice is not installed"
)


EACH = [("two_wire", 0, 1), ("motorcycle", 0, 1), *(("lapwing", part, 4) for part in range(4))]


@pytest.mark.parametrize(("name", "part", "of"), EACH)
def test_the_printed_page_leads_there_with_the_simulators_volts(name, part, of, request, tmp_path):
    result = request.getfixturevalue(name)
    simulator = Simulator(folder(FOLDERS[name]), built_of(result), tmp_path)
    cars = cars_of(result, breaks_and_shorts(result)[part::of], simulator.car)
    lost, counts, under = follow(result, tmp_path, cars)
    print(
        f"{name} {part + 1} of {of}: {len(counts)} tried, {len(counts) - len(lost)} found, "
        f"median {statistics.median(counts):g}, nine of ten {counts[int(0.9 * len(counts))]}, "
        f"worst {counts[-1]}, {under:.0%} begin under the car, lost {lost}; "
        f"{dict(simulator.asked)}; asked {sorted(Counter(counts).items())}"
    )
    held(lost, counts, under)

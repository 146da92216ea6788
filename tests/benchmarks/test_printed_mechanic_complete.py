"""Every break and short of three vehicles, found by the printed chapter alone; long, on request.

`pytest -n 0 -s tests/benchmarks/test_printed_mechanic_complete.py` prints the figures.
"""

from __future__ import annotations

import statistics

import pytest

from tests.faultfinding.test_printed_mechanic import follow_all, held


@pytest.mark.parametrize("name", ["two_wire", "motorcycle", "lapwing"])
def test_every_break_and_short_is_found_by_the_printed_page(name, request, tmp_path):
    lost, counts, under = follow_all(request.getfixturevalue(name), tmp_path)
    print(
        f"{name}: {len(counts)} tried, median {statistics.median(counts):g}, "
        f"nine of ten {counts[int(0.9 * len(counts))]}, worst {counts[-1]}, "
        f"{under:.0%} begin under the car, lost {lost}"
    )
    held(lost, counts, under)

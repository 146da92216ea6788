"""Times the packing of a thick bundle against one of half as many wires; run by name only.

python -m pytest -n 0 -s tests/benchmarks/test_packing.py
"""

from __future__ import annotations

import random
import time

from buildbook.harness.packing import pack

GROWTH = 8.0
"""Most that twice the wires may cost: every pair is looked at, and more rounds are needed."""


def _seconds(count: int) -> float:
    chance = random.Random(3)
    radii = [chance.uniform(0.6, 2.0) for _ in range(count)]
    start = time.process_time()
    pack(radii)
    return time.process_time() - start


def test_twice_the_wires_cost_a_few_times_as_much():
    half, whole = _seconds(150), _seconds(300)
    print(f"\n300 wires: {whole / half:.1f} times as long as 150")
    assert whole <= GROWTH * half

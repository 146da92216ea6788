"""Two hundred random faults of the example, each followed in a browser on the phone edition.

    python -m pytest -n 0 -s tests/benchmarks/test_phone_finds_faults.py

The mechanic picks the symptom by what the page says, reads the place and the state off the
screen, and types what a meter shows on the car that was broken. Run by name only: minutes.
"""

from __future__ import annotations

import json
import random
import statistics
from collections import Counter

from buildbook.export.faults import silent_fault_rows, symptom_rows
from buildbook.phone.page import make_phone
from tests.faultfinding.broken_car import Car, looked_up
from tests.faultfinding.standing_cars import cars_of
from tests.once import drawings_of
from tests.phone.conftest import page  # noqa: F401
from tests.phone.mechanic import Mechanic

FAULTS = 200
SEED = 20260
FOUND_SHARE = 0.95
"""Of all kinds of fault together; poor joints may be taken for their neighbours."""
MEDIAN_ASKED = 4


def test_two_hundred_random_faults_are_followed_to_their_end(lapwing, page, tmp_path):  # noqa: F811
    rows = json.loads(json.dumps(symptom_rows(lapwing)))
    silent = {row["fault"] for row in silent_fault_rows(lapwing)}
    told = [f for f in lapwing.faultfinding.faults.values() if f.id not in silent]
    told = [f for f in told if f.mode != "swap"]
    chosen = random.Random(SEED).sample(told, FAULTS)
    healthy, asked, lost, kinds = Car(lapwing), [], [], Counter()
    page.open(make_phone(lapwing, drawings_of(lapwing), tmp_path / "lapwing-phone.html"))
    mechanic = Mechanic(page, lapwing)
    for fault, car in zip(chosen, cars_of(lapwing, chosen), strict=True):
        row = looked_up(rows, car, healthy)
        if row is None:
            lost.append(f"{fault.id}: no symptom")
            continue
        ended = mechanic.finds(row["id"], car)
        asked.append(len(ended.asked))
        kinds.update(ended.asked)
        if mechanic.named(fault) not in ended.suspects:
            lost.append(fault.id)
            print(f"lost: {fault.id} of {row['id']}, after {ended.asked}: {ended.suspects[:5]}")
    ranked = sorted(asked)
    print(
        f"\n{FAULTS - len(lost)} of {FAULTS} found; lost {lost}\n"
        f"asked: median {statistics.median(asked)}, nine of ten {ranked[len(ranked) * 9 // 10]}, "
        f"most {ranked[-1]}; {dict(kinds)}"
    )
    assert page.complaints() == [] and page.asked_for() == []
    assert FAULTS - len(lost) >= FOUND_SHARE * FAULTS
    assert statistics.median(asked) <= MEDIAN_ASKED

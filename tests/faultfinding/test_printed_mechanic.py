"""A mechanic who knows only the printed chapter finds what is broken, in few looks and readings.

A sample; tests/benchmarks/test_printed_mechanic_complete.py tries every break and short.
"""

from __future__ import annotations

import statistics

import pytest

from tests.faultfinding.printed_mechanic import Book, names, under_the_car
from tests.faultfinding.standing_cars import cars_of

MEDIAN, NINE_OF_TEN = 4, 7
"""Looks and readings in the middle, and within which nine faults of ten are found."""


def breaks_and_shorts(result) -> list:
    """Every open, short and blown fuse that anybody notices."""
    told = {f for symptom in result.faultfinding.symptoms for f in symptom.suspects}
    faults = result.faultfinding.faults.values()
    return [f for f in faults if f.id in told and f.mode in ("open", "short")]


def follow_all(result, folder, every: int = 1):
    """Faults not found, how many questions each took, and the share begun under the car."""
    faults = breaks_and_shorts(result)[::every]
    return follow(result, folder, cars_of(result, faults))


def follow(result, folder, cars):
    """The same on some broken cars; each fault that is lost is told at once."""
    book = Book(result, folder)
    lost, counts, under = [], [], 0
    for car in cars:
        found = book.find(car)
        counts.append(found.asked)
        under += under_the_car(book, found.first)
        if not names(result, found.named, car.fault):
            lost.append(car.fault.id)
            print(f"lost: {car.fault.id}, after {found.asked} from {found.first}: {found.named}")
    return lost, sorted(counts), under / len(counts)


def held(lost, counts, under) -> None:
    assert not lost
    assert statistics.median(counts) <= MEDIAN
    assert counts[int(0.9 * len(counts))] <= NINE_OF_TEN
    assert under < 0.5


@pytest.mark.parametrize(("name", "every"), [("two_wire", 1), ("motorcycle", 9), ("lapwing", 180)])
def test_the_printed_page_leads_to_what_is_broken(name, every, request, tmp_path):
    held(*follow_all(request.getfixturevalue(name), tmp_path, every))

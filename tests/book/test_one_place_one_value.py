"""One place, one state, one value: read back out of the printed book and its workings.

What the same readings are against the circuit simulator is asked in tests/simulator.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import combinations

import pytest

from buildbook.export.results import results
from tests.book_of import book_of, workings_of
from tests.once import once
from tests.printed_readings import reader_of

ROUNDING_V = 1e-6


@once
def printed_of(result):
    """Every reading of the healthy vehicle in its book and in its workings."""
    reader = reader_of(result)
    return reader.read(book_of(result)) + reader.read(workings_of(result))


@once
def rows_of(result):
    """State and place -> the row of the export, which the simulator judges."""
    return {(row["state"], row["place"]): row for row in results(result)["meter_readings"]}


@pytest.fixture
def result(lapwing):
    return lapwing


def differ(one, other):
    """Whether two printed readings cannot be the same one, each rounded."""
    half = one.half_v + other.half_v + ROUNDING_V
    pairs = zip(one.values, other.values, strict=False)
    return (
        one.kind != other.kind
        or len(one.values) != len(other.values)
        or any(abs(a - b) > half for a, b in pairs)
    )


def test_a_place_has_one_value_in_a_state_across_the_book(result):
    of_place = defaultdict(list)
    for reading in printed_of(result):
        of_place[reading.plus, reading.minus, reading.state].append(reading)
    assert not [
        (one, other)
        for readings in of_place.values()
        for one, other in combinations(readings, 2)
        if differ(one, other)
    ]


def test_volts_between_two_places_are_the_difference_of_theirs(result):
    alone = {(r.plus, r.state): r for r in printed_of(result) if not r.minus and r.kind == "steady"}
    pairs = [r for r in printed_of(result) if r.minus and r.kind == "steady"]
    judged = [
        (r, one, other)
        for r in pairs
        if (one := alone.get((r.plus, r.state))) and (other := alone.get((r.minus, r.state)))
    ]
    assert len(judged) >= 0.9 * len(pairs)
    for r, one, other in judged:
        half = r.half_v + one.half_v + other.half_v + ROUNDING_V
        assert abs(r.values[0] - (one.values[0] - other.values[0])) <= half, (r, one, other)


def test_every_printed_reading_is_the_exported_one(result):
    """Kind by kind; and no pin is left out in any state."""
    rows, kinds = rows_of(result), Counter()
    for reading in printed_of(result):
        row = None if reading.minus else rows[reading.state, reading.plus]
        if row is None:
            continue
        kinds[reading.kind] += 1
        wanted = {
            "steady": ["volts_nominal"],
            "average": ["volts_nominal"],
            "levels": ["lower_nominal", "upper_nominal"],
            "between": ["lower_nominal", "upper_nominal"],
        }.get(row["kind"], [])
        assert reading.kind == row["kind"], (reading, row)
        assert len(reading.values) == len(wanted), (reading, row)
        for value, key in zip(reading.values, wanted, strict=True):
            assert abs(value - row[key]) <= reading.half_v + 1e-4, (reading, row)
    print(dict(kinds))
    shown = {(r.state, r.plus) for r in printed_of(result) if not r.minus}
    pins = {(state, place) for state, place in rows if place in result.vehicle.pins}
    assert not sorted(pins - shown)


def test_the_example_has_readings_of_every_kind(lapwing):
    """But for a contact that buzzes, of which it has none."""
    kinds = Counter(r.kind for r in printed_of(lapwing))
    assert kinds["steady"] > 3000
    assert all(
        kinds[kind] > 10 for kind in ("average", "between", "levels", "alternating", "floating")
    )

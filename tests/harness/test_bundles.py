"""Bundle diameters against geometry and the best known packings."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.harness.bundles import bundle_diameter_mm
from tests.harness.test_packing import BEST_KNOWN


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6, 7])
def test_up_to_seven_equal_wires_are_packed_as_well_as_can_be(count: int) -> None:
    assert bundle_diameter_mm([1.0] * count) == pytest.approx(BEST_KNOWN[count], rel=0.002)


@pytest.mark.parametrize(("count", "layers"), [(1, 1), (7, 3), (19, 5), (37, 7), (61, 9)])
def test_concentric_lays_are_met_within_5_percent(count: int, layers: int) -> None:
    # one core and layers of 6, 12, 18, 24: diameter over wire 1, 3, 5, 7, 9 (geometry)
    assert bundle_diameter_mm([1.5] * count) / 1.5 == pytest.approx(layers, rel=0.05)


def test_two_unlike_wires_are_as_wide_as_both() -> None:
    assert bundle_diameter_mm([4.0, 1.5]) == pytest.approx(5.5)


def test_a_thin_wire_in_the_gap_of_three_thick_ones_adds_nothing() -> None:
    # the gap between three equal circles takes one of 2 / sqrt(3) - 1 = 0.1547 (geometry)
    three = bundle_diameter_mm([4.0] * 3)
    assert bundle_diameter_mm([4.0] * 3 + [0.5]) == pytest.approx(three, rel=0.01)


def test_no_wires_have_no_diameter() -> None:
    assert bundle_diameter_mm([]) == 0.0


@settings(max_examples=80, deadline=None)
@given(st.lists(st.floats(0.8, 16.0), min_size=1, max_size=60))
def test_a_bundle_is_wider_than_its_copper_and_not_absurdly_wide(od: list[float]) -> None:
    diameter = bundle_diameter_mm(od)
    assert diameter >= math.sqrt(sum(d * d for d in od)) - 1e-5
    assert diameter >= sum(sorted(od)[-2:]) - 1e-5
    assert diameter <= 1.0001 * sum(od)
    if len(od) >= 10:
        assert diameter <= max(1.45 * math.sqrt(sum(d * d for d in od)), 1.3 * sum(sorted(od)[-2:]))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.8, 16.0), min_size=1, max_size=20), st.randoms())
def test_the_order_of_wires_does_not_matter(od: list[float], chance: object) -> None:
    mixed = list(od)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    assert bundle_diameter_mm(mixed) == bundle_diameter_mm(od)

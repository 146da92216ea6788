"""Bundle factors against the charts and tables of public standards."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.sizing.bundle_derating import FULL_BUNDLE, LOADED_SHARE, bundle_factor, loaded_share
from tests.sizing.handbook import BOAT_TOGETHER, MIL_W_5088_BUNDLE


@pytest.mark.parametrize("row", MIL_W_5088_BUNDLE, ids=lambda row: f"{row[0]} wires")
def test_every_reading_of_the_mil_w_5088_chart_is_met_within_two_percent(row):
    for share, factor in zip((0.2, 0.4, 0.6, 0.8, 1.0), row[1:], strict=True):
        assert bundle_factor(row[0], share) == pytest.approx(factor, rel=0.02)


def test_eight_wires_at_60_percent_carry_six_tenths():
    # AC 43.13-1B, figure 11-5, read off in its worked example
    assert bundle_factor(8, 0.6) == pytest.approx(0.6, abs=0.005)


@pytest.mark.parametrize(("fewest", "most", "factor"), BOAT_TOGETHER)
def test_fully_loaded_bundles_stay_close_under_the_boat_rule(fewest, most, factor):
    # 33 CFR 183.435, note 2 to table 5: one factor for a range of counts; ours is steadier, so
    # it may be a little above at the fewest and must be below at the most.
    assert bundle_factor(fewest, 1.0) < 1.13 * factor
    assert bundle_factor(most, 1.0) < 1.06 * factor


def test_each_other_loaded_wire_adds_42_hundredths_of_its_heat():
    # Hand sums of I2 (1 + 0.42 (n - 1) s) = 1
    assert bundle_factor(2, 1.0) == pytest.approx(1 / math.sqrt(1.42), rel=1e-12)
    assert bundle_factor(11, 0.5) == pytest.approx(1 / math.sqrt(3.1), rel=1e-12)


def test_more_than_33_wires_make_it_no_worse():
    # AC 43.13-1B, table 11-9: "33 or more wires"
    assert bundle_factor(FULL_BUNDLE, 0.2) == bundle_factor(34, 0.2) == bundle_factor(90, 0.2)
    assert bundle_factor(32, 0.2) > bundle_factor(33, 0.2)
    assert FULL_BUNDLE == 33


@pytest.mark.parametrize("count", [0, 1])
def test_a_wire_alone_carries_all(count):
    assert bundle_factor(count, 1.0) == 1.0


def test_six_tenths_of_a_bundle_are_taken_as_loaded():
    # The worked example of AC 43.13-1B, figure 11-5, has 60 percent
    assert bundle_factor(8) == bundle_factor(8, 0.6)
    assert LOADED_SHARE == 0.6


def test_share_in_use_is_the_sum_of_amps_over_the_sum_of_capacities():
    # AC 43.13-1B, 11-69: hand sum (4 + 1 + 0) / (10 + 5 + 10) = 0.2
    assert loaded_share([(4.0, 10.0), (-1.0, 5.0), (0.0, 10.0)]) == pytest.approx(0.2)
    assert loaded_share([(0.1, 0.5)]) == pytest.approx(0.2)


def test_share_in_use_is_never_above_one_and_one_where_nothing_is_known():
    assert loaded_share([(30.0, 10.0)]) == 1.0
    assert loaded_share([]) == 1.0
    assert loaded_share([(1.0, 0.0)]) == 1.0


@settings(deadline=None)
@given(st.integers(1, 60), st.floats(0, 1), st.floats(0, 1))
def test_fuller_or_harder_loaded_never_carries_more(count, share, other):
    low, high = sorted((share, other))
    assert bundle_factor(count, high) <= bundle_factor(count, low) <= 1
    assert bundle_factor(count + 1, share) <= bundle_factor(count, share)

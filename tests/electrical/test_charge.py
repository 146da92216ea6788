"""Hours from a battery and back into it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.description.models import Battery
from buildbook.electrical.charge import (
    EFFICIENCY,
    PEUKERT,
    RATED_H,
    USABLE,
    hours_to_flat,
    hours_to_recharge,
)


def test_peukert_example_of_a_120_ah_battery_at_120_a():
    """A tutor's page on Peukert's law (read): 120 Ah over 20 h, exponent 1.4, 120 A drawn:
    t = 20 (120 / (120 x 20))^1.4 = 0.30 h, about 18 minutes."""
    assert hours_to_flat(120, 120, peukert=1.4) == pytest.approx(0.30, abs=0.005)


def test_peukert_example_of_a_100_ah_battery_at_10_a():
    """Encyclopaedia example (from memory): 100 Ah over 20 h, exponent 1.2, 10 A: 8.7 h."""
    assert hours_to_flat(100, 10, peukert=1.2) == pytest.approx(8.7, abs=0.05)


def test_the_description_assumes_what_the_functions_do():
    battery = Battery(between=("+", "-"))
    assert (battery.rated_over, battery.peukert) == (RATED_H, PEUKERT)
    assert (battery.usable, battery.efficiency) == (USABLE, EFFICIENCY)


def test_at_its_rated_current_a_battery_lasts_its_rated_hours():
    assert hours_to_flat(44, 2.2, peukert=1.25, rated_h=20) == pytest.approx(20)


def test_below_its_rated_current_no_more_than_the_rated_capacity_is_counted():
    """A charge meter's manual (read): slower than the 20 hour rate it is nearly linear."""
    assert hours_to_flat(44, 0.011, peukert=1.3) == pytest.approx(4000)


def test_nothing_drawn_lasts_for_ever():
    assert hours_to_flat(44, 0.0) == math.inf


def test_half_the_battery_lasts_half_as_long():
    assert hours_to_flat(44, 10, usable=0.5) == pytest.approx(hours_to_flat(44, 10) / 2)


def test_recharging_by_hand():
    """17 Ah at 85 % need 20 Ah in; 10 A put that in within 2 h, 4 A spare within 5 h."""
    assert hours_to_recharge(17, 50, 10, 0.85) == pytest.approx(2.0)
    assert hours_to_recharge(17, 4, 10, 0.85) == pytest.approx(5.0)


@pytest.mark.parametrize("spare_a", [0.0, -3.0])
def test_without_anything_to_spare_it_never_fills(spare_a):
    assert hours_to_recharge(17, spare_a, 10) == math.inf


@given(
    capacity=st.floats(5, 200),
    one=st.floats(0.001, 500),
    two=st.floats(0.001, 500),
    peukert=st.floats(1, 1.5),
)
def test_more_current_never_lasts_longer_nor_gives_more_charge(capacity, one, two, peukert):
    less, more = sorted((one, two))
    long, short = (hours_to_flat(capacity, a, peukert=peukert) for a in (less, more))
    assert long >= short * (1 - 1e-12)
    assert long * less >= short * more * (1 - 1e-9)

"""Fuses above and below each other, with bands of round figures."""

import math
from dataclasses import replace

import pytest

from buildbook.sizing.selectivity import FittedFuse, judge_selectivity
from tests.sizing.fuses import ROUND

LOWER = FittedFuse("F2", ROUND, 5.0)
"""Sure to open from 10 A; 100 s there, 10 s at 20 A, 1 s at 40 A, a quarter at each doubling."""


def upper(rating_a):
    return FittedFuse("F1", ROUND, rating_a)


def test_a_much_larger_fuse_above_waits_for_the_one_below():
    # at 400 A the lower takes 0.01 s; the upper of 100 A may open at 4 times its rating after 0.1 s
    found = judge_selectivity(LOWER, upper(100.0), 0.0, 400.0)
    assert found.holds
    assert (found.upstream, found.downstream) == ("F1", "F2")
    assert found.lower_s < found.upper_s


def test_the_fault_told_is_that_of_the_least_time_in_hand():
    found = judge_selectivity(LOWER, upper(100.0), 0.0, 400.0)
    # below 100 A the upper holds; just above it may take 1000 s; at 400 A times stand 1 to 10,
    # which is the least
    assert found.fault_a == pytest.approx(400.0)
    assert (found.lower_s, found.upper_s) == (pytest.approx(0.01), pytest.approx(0.1))


def test_a_fuse_twice_as_large_opens_as_well():
    # at 20 A the lower may take 10 s, the upper of 10 A may open after 1 s; at 10 A it holds
    found = judge_selectivity(LOWER, upper(10.0), 0.0, 400.0)
    assert not found.holds
    assert 10.0 < found.fault_a <= 20.0
    assert found.lower_s >= found.upper_s


def test_what_the_upper_carries_besides_counts():
    alone = judge_selectivity(LOWER, upper(100.0), 0.0, 80.0)
    assert alone.holds and math.isinf(alone.upper_s)
    # 80 A of fault and 120 A of other loads are twice the upper's rating: 1 s against 0.25 s
    loaded = judge_selectivity(LOWER, upper(100.0), 120.0, 80.0)
    assert loaded.upper_s < math.inf
    assert not loaded.holds


def test_a_fault_that_does_not_open_the_lower_is_no_question_of_selectivity():
    assert judge_selectivity(LOWER, upper(5.0), 100.0, 9.9).holds


def test_equal_times_are_no_selectivity():
    # at 10 A the lower may take 100 s, and a fuse above that may take as little fails
    slow = replace(ROUND, bands=((1.0, 1000.0, None), (2.0, 100.0, 100.0), (8.0, 1.0, 1.0)))
    assert not judge_selectivity(
        FittedFuse("F2", slow, 5.0), FittedFuse("F1", slow, 5.0), 0.0, 10.0
    ).holds


@pytest.mark.parametrize(
    ("short_a", "holds", "fault_a"), [(100.0, True, 100.0), (240.0, False, 120.0)]
)
def test_where_two_bands_cross(short_a, holds, fault_a):
    # 5 A under 30 A: at 60 A 0.444 s against 1 s; from there the upper quickens with the power
    # -3.32 and the lower with -2, so they meet at 60 * 2.25^(1/1.32) = 111 A. Of six steps from
    # 60 to 240 A the first past that is 60 * 4^(3/6) = 120 A
    found = judge_selectivity(LOWER, upper(30.0), 0.0, short_a)
    assert (found.holds, found.fault_a) == (holds, pytest.approx(fault_a))


def test_times_told_are_those_of_the_fault_told():
    found = judge_selectivity(LOWER, upper(30.0), 0.0, 240.0)
    assert found.lower_s == pytest.approx((8 / 24) ** 2)
    assert found.upper_s == pytest.approx(0.1)  # halfway from 2 to 8 times: from 1 to 0.01 s


def test_where_no_fault_opens_the_upper_the_dead_short_is_told():
    found = judge_selectivity(LOWER, upper(100.0), 0.0, 60.0)
    assert (found.holds, found.fault_a, found.lower_s) == (True, 60.0, 0.0)
    assert math.isinf(found.upper_s)

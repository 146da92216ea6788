"""Opening times on log-log paper, against figures worked out by hand."""

import math

import pytest

from buildbook.sizing.opening_time import fastest_s, slowest_s, surely_opens_a
from tests.sizing.fuses import ROUND


@pytest.mark.parametrize(
    ("amps", "seconds"),
    [
        (10.0, math.inf),  # held at its rating
        (20.0, 1.0),
        (40.0, 0.1),  # halfway between 2 and 8 on log paper: halfway between 1 and 0.01
        (80.0, 0.01),
        (160.0, 0.0025),  # twice the current, a quarter of the time
    ],
)
def test_quickest_opening_of_a_10_a_fuse(amps, seconds):
    assert fastest_s(ROUND, 10.0, amps) == pytest.approx(seconds)


def test_just_above_what_it_holds_it_may_open_after_the_longest_time_of_its_band():
    assert fastest_s(ROUND, 10.0, 10.0001) == pytest.approx(1000.0, rel=1e-3)
    # from 1 to 2 times the rating, 1000 s to 1 s: root two lies halfway, 31.6 s
    assert fastest_s(ROUND, 10.0, 10 * math.sqrt(2)) == pytest.approx(math.sqrt(1000), rel=1e-6)


@pytest.mark.parametrize(
    ("amps", "seconds"),
    [(10.0, math.inf), (19.9, math.inf), (20.0, 100.0), (40.0, 10.0), (80.0, 1.0), (800.0, 0.01)],
)
def test_slowest_opening_of_a_10_a_fuse(amps, seconds):
    assert slowest_s(ROUND, 10.0, amps) == pytest.approx(seconds)


def test_fuse_surely_opens_from_the_first_bounded_point():
    assert surely_opens_a(ROUND, 5.0) == 10.0

"""Counts and measured values as messages say them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.figures import counted, decimals, length, significant


@pytest.mark.parametrize(
    ("n", "said"), [(0, "no clamps"), (1, "1 clamp"), (2, "2 clamps"), (11, "11 clamps")]
)
def test_one_of_a_thing_has_no_plural_and_none_is_no_number(n, said):
    assert counted(n, "clamp") == said


@pytest.mark.parametrize(
    ("value", "said"), [(-0.0, "0.00"), (-0.004, "0.00"), (-0.006, "-0.01"), (5.999, "6.00")]
)
def test_nothing_has_no_minus(value, said):
    assert decimals(value, 2) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (600.0, "600"),
        (654.0, "650"),
        (1234.5, "1200"),
        (0.021, "0.021"),
        (2e-7, "0.0000002"),
        (8.0, "8"),
        (0.0, "0"),
    ],
)
def test_significant_digits_are_written_out(value, said):
    assert significant(value, 2) == said


@given(st.floats(-1e9, 1e9), st.integers(1, 6))
def test_no_figure_has_an_exponent_and_each_is_near_what_it_says(value, digits):
    said = significant(value, digits)
    assert "e" not in said.lower()
    assert float(said) == pytest.approx(value, rel=0.5 * 10 ** (1 - digits) * 1.001, abs=1e-300)


@pytest.mark.parametrize(
    ("metres", "said"),
    [
        (0.0, "0 mm"),
        (0.86, "860 mm"),
        (9.999, "9999 mm"),
        (10.0, "10 m"),
        (12.5, "12.5 m"),
        (720.0, "720 m"),
    ],
)
def test_long_lengths_are_said_in_metres(metres, said):
    assert length(metres) == said

"""Counts and measured values as messages say them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.figures import (
    Units,
    counted,
    current,
    decimals,
    gauge_of,
    length,
    significant,
    squared,
)


@pytest.mark.parametrize(
    ("n", "said"), [(0, "no clamps"), (1, "1 clamp"), (2, "2 clamps"), (11, "11 clamps")]
)
def test_one_of_a_thing_has_no_plural_and_none_is_no_number(n, said):
    assert counted(n, "clamp") == said


@pytest.mark.parametrize(
    ("amps", "said"),
    [
        (0.0, "0 A"),
        (-3e-8, "0 A"),
        (0.0002, "< 1 mA"),
        (0.004, "4 mA"),
        (-0.012, "−12 mA"),
        (0.096, "96 mA"),
        (0.1, "0.1 A"),
        (-21.56, "−21.6 A"),
    ],
)
def test_a_current_that_flows_is_never_said_to_be_none(amps, said):
    assert current(amps) == said


def test_a_current_has_the_decimals_asked_for_and_a_plus_where_it_is_gained():
    assert current(1.234, 2) == "1.23 A"
    assert current(6.8, plus=True) == "+6.8 A"
    assert current(0.0, plus=True) == "0 A"


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


INCH = Units(inches=True, gauges=True)


@pytest.mark.parametrize(
    ("mm", "said"),
    # An inch is 25.4 mm by definition (NIST SP 811, appendix B).
    [(0.0, "0"), (25.4, "1"), (952.5, "37-1/2"), (9.525, "3/8"), (19.05, "3/4"), (1.0, "0")],
)
def test_a_length_in_inches_is_read_as_on_a_tape(mm, said):
    assert INCH.bare(mm) == said


@given(st.floats(0.0, 50.0))
def test_what_is_cut_in_inches_is_never_too_short(length_m):
    whole, _, part = INCH.cut(length_m).rpartition("-")
    words = part if whole or "/" in part else f"{part}/1"
    top, _, below = words.partition("/")
    inches = int(whole or 0) + int(top) / int(below or 1)
    assert 1000 * length_m - 1e-6 <= 25.4 * inches <= 1000 * length_m + 25.4 / 8 + 1.0


def test_thicknesses_are_in_hundredths_and_thin_ones_in_thousandths():
    assert (INCH.across(12.7), INCH.across(1.6)) == ("0.50 in", "0.063 in")
    assert (Units().across(12.7), Units().stated(4.5)) == ("12.7 mm", "4.5 mm")


def test_what_is_cut_from_a_reel_is_in_feet():
    # A foot is 0.3048 m by definition (NIST SP 811, appendix B).
    assert (INCH.reel(3.048), Units().reel(3.048)) == ("10.00 ft", "3.05 m")


@pytest.mark.parametrize(
    ("area_mm2", "gauge"),
    # Standard table of ASTM B258, from memory; metric sizes by IEC 60947-1, table 1.
    [(5.261, "10"), (107.2, "4/0"), (0.5176, "20"), (2.5, "14"), (70.0, "2/0"), (12.6, None)],
)
def test_an_area_has_the_gauge_of_the_tables(area_mm2, gauge):
    assert gauge_of(area_mm2) == gauge


@pytest.mark.parametrize(
    ("ours", "said"),
    [
        ("runs 450 mm beside it; 300 mm are allowed", "runs 17-3/4 in beside it; 11-3/4 in are al"),
        ("closes on 1.2 to 2.6 mm", "closes on 0.047 to 0.102 in"),
        ("for 0.22 to 1.5 mm2", "for AWG 24 to 16"),
        # AWG 4/0 has 211.6 thousand circular mils (ASTM B258), and it is 107.2 mm2.
        ("107.3 mm2 and 12.6 mm2", "211.6"),
        ("12.5 m long", "41.0 ft long"),
        ("M6, C1.5 mm-pin, 2-3 A", "M6, C1.5 mm-pin, 2-3 A"),
    ],
)
def test_words_of_ours_change_their_units(ours, said):
    if said != "211.6":
        assert INCH.words(ours).startswith(said)
    else:
        assert INCH.words(ours) == "AWG 4/0 and 24.9 kcmil"
    assert Units().words(ours) == squared(ours)


def test_square_millimetres_have_their_square():
    assert squared("0.5 mm2 or 1 mm²") == "0.5 mm² or 1 mm²"

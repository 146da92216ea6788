"""How ranges of readings are set: read at once, and deciding."""

from __future__ import annotations

import pytest

from buildbook.book.fault_trees import reading_words
from buildbook.book.formats import ranging, short_reading
from buildbook.electrical.reading import Reading
from buildbook.electrical.span import Span
from buildbook.faultfinding.model import Step
from tests.printed_readings import VALUE, value_of


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        ("0.3", "3.5", "0.3–3.5"),
        ("−2.02", "−0.87", "−2.02 to −0.87"),
        ("−0.1", "0.4", "−0.1 to 0.4"),
    ],
)
def test_beside_a_minus_no_dash_stands(low, high, text):
    assert ranging(low, high) == text


@pytest.mark.parametrize("ends", [(0.3, 3.5), (-12.0, -0.9), (-0.1, 0.4)])
def test_a_reader_of_the_page_finds_both_ends_of_a_swing(ends):
    low, high = (Span(end, end, end) for end in ends)
    text = short_reading(Reading("between", None, low, high))
    assert VALUE.fullmatch(text) and value_of(text) == ("between", ends, 0.05)


def step(lows, highs) -> Step:
    return Step("A", "on", lows[0], highs[1], ("one",), ("other",), "volts", "", lows, highs)


def test_a_range_too_wide_to_decide_by_is_told_by_the_end_that_decides():
    """A flasher's middle may be anything from 4.2 V up, and 0.0 V where it is dead."""
    assert reading_words(step((0.0, 0.0), (4.2, 13.8))) == ("0.0 V", "4.2 V or more")
    assert reading_words(step((0.0, 9.5), (13.4, 13.4))) == ("9.5 V or less", "13.4 V")
    assert reading_words(step((0.0, 11.95), (12.58, 12.58))) == ("11.95 V or less", "12.58 V")


def test_a_narrow_range_has_both_its_ends():
    assert reading_words(step((-2.02, -0.87), (0.02, 0.02))) == ("−2.02 to −0.87 V", "0.02 V")
    assert reading_words(step((0.0, 0.0), (11.1, 13.5)))[1] == "11.1–13.5 V"

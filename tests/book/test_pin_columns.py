"""Columns of a connector's pins are as wide as what they hold."""

from __future__ import annotations

import pytest

from buildbook.book.formats import reading_parts
from buildbook.book.pin_columns import READING_MM, below_shares, beside_shares, heads_of, reading_mm
from buildbook.book.pin_rows import PinRow
from buildbook.book.templates import stacked
from buildbook.electrical.reading import Reading
from buildbook.electrical.span import exactly
from buildbook.vehicle.model import Pin


def row_of(reading: Reading) -> PinRow:
    pin = Pin("lamp.1", "lamp", "1", "", None, False)
    return PinRow(pin, "side lamps", "", (), False, (reading,), (), ())


STEADY = Reading("steady", exactly(12.6))
PULSES = Reading("average", exactly(7.6), exactly(0.1), exactly(13.5))


def test_a_mean_of_pulses_has_room_beside_its_swing_below_a_face_and_over_it_beside_one():
    """'7.6 av. 0–14' is 14.2 mm wide at 7.3 pt, 'av.' with its figure 7.5 mm."""
    assert reading_mm([row_of(PULSES)], [], stacked=False) > 14.2
    assert reading_mm([row_of(PULSES)], [], stacked=True) < READING_MM
    assert reading_mm([row_of(STEADY)], [], stacked=False) < READING_MM


def test_a_long_word_over_readings_widens_them_only_to_where_it_may_be_hyphenated():
    short = reading_mm([row_of(STEADY)], ["off"], stacked=True)
    assert reading_mm([row_of(STEADY)], ["unquestionable"], stacked=True) == READING_MM > short


def test_below_a_face_the_longest_use_stands_on_one_line_where_the_readings_leave_room():
    """178 mm with five readings of 12 mm; other columns take 51.3 mm."""
    shares = below_shares(178.0, 5, False, 12.0, 60.0)
    assert shares[-1] * 1.78 == pytest.approx(60.0, abs=0.1)
    tight = below_shares(178.0, 5, False, 16.4, 60.0)
    assert (100 - sum(tight)) * 1.78 == pytest.approx(5 * 16.4, abs=0.5)
    assert below_shares(178.0, 5, True, 25.0, 60.0)[-1] == 22.0


def test_beside_a_face_readings_of_few_letters_leave_their_room_to_the_use():
    wide, narrow = beside_shares(130.0, 4, False, 11.0), beside_shares(130.0, 4, False, 9.0)
    assert (narrow[-1] - wide[-1]) * 1.3 == pytest.approx(8.0, abs=0.2)


def test_heads_are_the_states_and_those_with_the_plug_off_whose_words_stay_together():
    heads = heads_of(["idle"], ["full load"])
    assert heads == ["idle", "plug\u00a0off: full load"]
    assert reading_mm([], heads, stacked=True) > reading_mm([], ["plug", "off:"], stacked=True)


def test_a_reading_and_its_swing_may_stand_beside_each_other():
    assert reading_parts("7.6 av. 0–14") == ("7.6 av.", "0–14") and reading_parts("AC") == ("AC",)
    assert "<br>" in stacked("7.6 av. 0–14") and "<br>" not in stacked("7.6 av. 0–14", " ")

"""Numbers and their units in German, in metres and in inches."""

from __future__ import annotations

import pytest

from buildbook.book.formats import hours, ohms_range, reading, short_reading, unit_words
from buildbook.electrical.reading import Reading
from buildbook.electrical.span import around, exactly
from buildbook.figures import METRIC, Units, significant, squared
from buildbook.words.joined import numbers_listed
from buildbook.words.say import in_language

INCHES = Units(inches=True, gauges=True)


@pytest.fixture(autouse=True)
def german():
    with in_language("de"):
        yield


def test_measured_values_have_a_comma():
    assert significant(0.0218, 2) == "0,022"
    assert METRIC.reel(2.5) == "2,50 m"
    assert METRIC.quantity(3, "piece") == "3 Stk."
    assert METRIC.across(12.3) == "12,3 mm"
    assert METRIC.bare_size("0.5 mm2") == "0,5"
    assert METRIC.bare_size("AWG 20") == "AWG 20"
    assert squared("Leitung 0.75 mm2 RD, 16 mm2") == "Leitung 0,75 mm² RD, 16 mm²"
    assert squared("Barrels, 1.5 to 2.5 mm2, 25") == "Barrels, 1,5 to 2,5 mm², 25"
    assert unit_words("-20.5 degC") == "−20,5 °C"
    assert hours(1000.0) == "42 Tage"
    assert ohms_range(around(2500.0, 0.05)) == "2,38 bis 2,62 kΩ"


def test_no_comma_stands_between_numbers_that_have_one():
    assert numbers_listed(["0,01", "0,03", "0,1"]) == "0,01; 0,03; 0,1"
    with in_language("en"):
        assert numbers_listed(["0.01", "0.03"]) == "0.01, 0.03"


def test_readings_have_a_comma():
    low, high = exactly(0.25), exactly(5.0)
    assert reading(Reading("levels", None, low, high)) == "0,2 oder 5,0 V"
    assert reading(Reading("average", exactly(7.5), low, high)) == "7,50 V im Mittel (0,2 bis 5,0)"
    assert short_reading(Reading("average", exactly(7.5), low, high)) == "7,5 Ø 0–5"
    assert reading(Reading("floating")) == "frei"


@pytest.mark.parametrize(
    ("said", "in_inches"),
    [
        ("Es bleiben 2,5 bis 3,5 mm frei.", "Es bleiben 0,098 bis 0,138 in frei."),
        ("Die Leitung ist 600 mm lang.", "Die Leitung ist 23-5/8 in lang."),
        ("Ein Loch von 25,4 mm.", "Ein Loch von 1,00 in."),
        ("Nach 12,5 m endet sie.", "Nach 41,0 ft endet sie."),
        ("Bis zu 40 Metern.", "Bis zu 131,2 ft."),
        ("Eine Leitung von 0,5 mm² genügt.", "Eine Leitung von AWG 20 genügt."),
        ("Eine Leitung von 0.5 oder 0.75 mm2.", "Eine Leitung von AWG 20 oder 18."),
    ],
)
def test_german_words_are_turned_to_inches_and_gauges(said, in_inches):
    assert INCHES.words(said) == in_inches

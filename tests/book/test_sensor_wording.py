"""Sensors, resistances and hours in the words of the book."""

import math
from dataclasses import replace

import pytest

from buildbook.book.chapters import powerup, supply, systems, troubleshooting
from buildbook.book.formats import (
    hours,
    ohms,
    ohms_nominal,
    ohms_range,
    share,
    unit_words,
    volts_range,
)
from buildbook.book.page_numbers import PageMap
from buildbook.book.sensor_wording import as_it_stands, described_sensors, law_words, loop_words
from buildbook.book.templates import chapter_html
from buildbook.description.models import Signal
from buildbook.electrical.span import Span
from tests.once import undrawn


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (9.5, "9.50 Ω"),
        (245, "245 Ω"),
        (999.6, "1.00 kΩ"),
        (2490, "2.49 kΩ"),
        (1e6, "1.00 MΩ"),
        (220e3, "220 kΩ"),
        (99.96, "100 Ω"),
    ],
)
def test_resistances_have_three_significant_digits(value, text):
    assert ohms(value) == text


def test_both_ends_of_a_range_share_a_unit():
    assert ohms_range(Span(950, 1000, 1050)) == "0.95 to 1.05 kΩ"
    assert ohms_range(None) == "–"


def test_close_ends_get_another_digit():
    span = Span(1076.4, 1077.9, 1079.6)
    assert ohms_range(span) == "1.076 to 1.080 kΩ"
    assert ohms_nominal(span) == "1.078 kΩ"


def test_volts_that_print_alike_are_printed_once():
    assert volts_range(Span(-0.04, 0.0, 0.13)) == "−0.04 to 0.13 V"
    assert volts_range(Span(4.998, 5.0, 5.002)) == "5.00 V"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.05, "3.0 min"),
        (0.5, "30 min"),
        (1.4667, "1 h 28 min"),
        (2.0, "2 h 0 min"),
        (30, "30 h"),
        (1900, "79 days"),
        (3.1e7, "over 2 years"),
        (None, "–"),
        (math.inf, "–"),
    ],
)
def test_hours_are_said_as_one_would(value, text):
    assert hours(value) == text


def test_units_and_shares():
    assert unit_words("-20 degC") == "−20 °C"
    assert unit_words("5 bar") == "5 bar"
    assert (share(0.05), share(0.015), share(1)) == ("5 %", "1.5 %", "100 %")


LAWS = {
    "ntc": (
        {"ohms": "2.5 kohm", "at": "20 degC", "beta": "3500 K", "beta tolerance": "1 %"},
        "NTC, 2.50 kΩ at 20 °C, B 3500 K ± 1 %, ± 5 %",
    ),
    "platinum": ({"ohms": "1 kohm", "class": "A"}, "platinum, 1.00 kΩ at 0 °C, IEC 60751 class A"),
    "ohms": (
        {"points": [["0 %", "10 ohm"], ["100 %", "180 ohm"]]},
        "10.0 Ω at 0 % to 180 Ω at 100 %, ± 5 % of the resistance",
    ),
    "volts": (
        {"of": "5 V", "points": [["0 bar", "0.5 V"], ["10 bar", "4.5 V"]]},
        "0.5 V at 0 bar to 4.5 V at 10 bar, ± 2 % of the span, with its supply (at 5 V)",
    ),
    "current": (
        {"points": [["0 bar", "4 mA"], ["9 bar", "20 mA"]]},
        "4 mA at 0 bar to 20 mA at 9 bar, ± 1 % of the span, into 250 Ω ± 1 %",
    ),
    "hall": ({}, "open collector, 0.4 V at most when it pulls low"),
    "inductive": (
        {"ohms": "860 ohm", "volts": "1.2 V"},
        "coil and magnet, 860 Ω ± 10 % at 20 °C, 1.2 V AC ± 30 % at 300 rpm",
    ),
    "switch": ({}, "switch"),
}


@pytest.mark.parametrize("law", LAWS)
def test_a_characteristic_is_stated_with_its_tolerance(law):
    given, words = LAWS[law]
    assert law_words(law, Signal.model_validate({law: given})) == words


def views(result):
    return {view.table.pin: view for view in described_sensors(result)}


def test_the_loop_is_stated_with_every_figure_of_the_sum(lapwing):
    table = views(lapwing)["oil-pressure.2"].table
    words = loop_words(table)
    assert "pull-up 10.0 kΩ ± 1 % to 5 V ± 1 %" in words
    assert f"{table.loop.supply_v.nominal:.2f} V ± 1 % at the sensor" in words
    assert f"leads {table.loop.lead_ohm:.2f} Ω" in words


def test_a_cold_vehicle_is_expected_at_20_degrees_or_at_rest(lapwing):
    found = views(lapwing)
    assert as_it_stands(found["coolant-temperature.1"]).when == "20 degC"
    assert as_it_stands(found["boost-sensor.2"]).when == "101 kPa"
    assert as_it_stands(found["input-speed.1"]) is None


def html(result, chapter):
    vehicle = result.vehicle.description.vehicle
    return chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), result.vehicle.supply)


def test_system_pages_hold_every_reading_of_their_sensors(lapwing):
    made = systems.chapters(lapwing, undrawn(lapwing))
    text = "".join(html(lapwing, chapter) for chapter in made)
    assert lapwing.sensors.tables
    for table in lapwing.sensors.tables:
        assert f'id="sensor-{table.pin}"' in text
        for row in table.rows:
            assert row.volts is None or volts_range(row.volts) in text
            assert row.ohms is None or ohms_range(row.ohms) in text


def test_troubleshooting_lists_each_sensor_with_its_pins(lapwing):
    (chapter,) = troubleshooting.chapters(lapwing, undrawn(lapwing))
    text = html(lapwing, chapter)
    table = text[text.index("<h2>Sensor readings</h2>") :]
    for sensor in lapwing.sensors.tables:
        assert sensor.meter_pin in table
        assert all(volts_range(row.volts) in table for row in sensor.rows if row.volts)


def test_a_sensor_of_no_system_stands_with_the_supply(lapwing):
    name = "coolant-temperature"
    alone = replace(lapwing.vehicle.devices[name], system="")
    vehicle = replace(lapwing.vehicle, devices=lapwing.vehicle.devices | {name: alone})
    result = replace(lapwing, vehicle=vehicle)
    (chapter,) = supply.chapters(result, undrawn(result))
    assert f'id="sensor-{name}.1"' in html(result, chapter)


def test_sensors_not_fitted_yet_are_not_tested_at_power_up(lapwing):
    (chapter,) = powerup.chapters(lapwing, undrawn(lapwing))
    shown = {view.table.device for view, _ in chapter.context["sensors"]}
    assert "coolant-temperature" in shown
    assert "diff-temperature" not in shown


def test_supply_chapter_says_where_the_volts_go_while_cranking(lapwing):
    (chapter,) = supply.chapters(lapwing, undrawn(lapwing))
    text = html(lapwing, chapter)
    (cranking,) = lapwing.supply.cranking
    for fed in (*cranking.starters, *cranking.controllers):
        assert f">{fed.volts:.2f} V<" in text

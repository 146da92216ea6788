"""Wire calculators against the circular that teaches the sum, and against copper's own laws."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calculators.run import result_of, run

CHART = "--return body --wire awg-etfe --conductor 20 degC"
"""Conditions of AC 43.13-1B, figure 11-2: copper at 20 degC; the run is all of the wire."""


def test_example_1_of_the_circular_needs_awg_8():
    """FAA AC 43.13-1B, 11-68, example 1; 1 V is table 11-6 for 28 V, continuous."""
    found = result_of(f"size --current 20 A --length 50 ft --system 28 V --allow 1 V {CHART}")
    assert found["wire size"] == "AWG 8"
    assert found["governed by"] == "drop"


@pytest.mark.parametrize(
    ("allow", "feet", "gauge", "printed_v"),
    [
        ("1 V", 107, 6, "0.942"),
        ("0.5 V", 90, 4, "0.504"),
        ("4 V", 88, 12, "3.6"),
        ("7 V", 100, 14, "6.12"),
    ],
)
def test_table_11_7_of_the_circular(allow, feet, gauge, printed_v):
    """FAA AC 43.13-1B, table 11-7, all at 20 A; its second row is 4 mV over its allowance.

    The printed drops are rounded: 88 ft x 20 A x 0.00202 ohm/ft is 3.555 V, printed as 3.60.
    """
    found = result_of(
        f"drop --current 20 A --length {feet} ft --size AWG {gauge} --allow {allow} {CHART}"
    )
    last_place = 0.1 ** len(printed_v.partition(".")[2])
    assert found["drop"] == pytest.approx(float(printed_v), abs=last_place / 2)


@pytest.mark.parametrize(("allow", "feet"), [(1, 39), (0.5, 19.5), (4, 156), (7, 273)])
def test_table_11_8_of_the_circular(allow, feet):
    """FAA AC 43.13-1B, table 11-8 (read): AWG 10 at 20 A, read off the chart to 2 percent."""
    words = f"length --current 20 A --size AWG 10 --allow {allow} V {CHART}"
    assert result_of(words)["longest run"] / 0.3048 == pytest.approx(feet, rel=0.02)


def test_example_2_of_the_circular():
    """FAA AC 43.13-1B, 11-69, example 2 (read): AWG 14 of 200 degC, 20 A in air of 50 degC, 8
    wires 60 percent loaded at 20 000 ft: Imax 26 A; T2 = 50 + 150 sqrt(20 / 26) = 181.6 degC;
    L2 = 254.5 L1 / (234.5 + T2) = 0.6117 L1, by hand.
    """
    words = (
        "--current 20 A --size AWG 14 --wire awg-etfe-silver --ambient 50 degC --bundle 8 "
        "--loaded 60 % --altitude 20000 ft"
    )
    hot = result_of(f"temperature {words}")
    run_length = result_of(f"length {words} --allow 1 V --return body")
    assert hot["current capacity"] == pytest.approx(26, rel=0.05)
    assert hot["conductor temperature"] == pytest.approx(181.6, abs=3)
    shorter = run_length["longest run"] / run_length["longest run at 20 degC"]
    assert shorter == pytest.approx(0.6117, rel=0.01)


def test_the_run_length_correction_of_the_circular():
    """FAA AC 43.13-1B, 11-66: L2 = 254.5 L1 / (234.5 + T2), by hand.

    1 V / (20 A x 0.00126 ohm/ft) = 39.68 ft at 20 degC (table 11-9, AWG 10); at 100 degC
    254.5 x 39.68 / 334.5 = 30.19 ft.
    """
    words = "length --current 20 A --size AWG 10 --wire awg-etfe --allow 1 V --return body"
    found = result_of(f"{words} --conductor 100 degC")
    assert found["longest run at 20 degC"] / 0.3048 == pytest.approx(39.68, abs=0.01)
    assert found["longest run"] / 0.3048 == pytest.approx(30.19, abs=0.01)


def test_a_return_wire_halves_the_run():
    words = "length --current 20 A --size AWG 10 --allow 1 V --conductor 20 degC"
    alone = result_of(f"{words} --return body")["longest run"]
    assert result_of(f"{words} --return wire")["longest run"] == pytest.approx(alone / 2)


def test_the_conductor_temperature_of_the_circular():
    """FAA AC 43.13-1B, 11-66: T2 = T1 + (TR - T1) sqrt(I2 / Imax), with its own Imax."""
    words = "--size AWG 14 --wire awg-etfe --ambient 70 degC"
    most = result_of(f"temperature --current 1 A {words}")["current capacity"]
    found = result_of(f"temperature --current '{most / 4} A' {words}")
    assert found["conductor temperature"] == pytest.approx(70 + (150 - 70) / 2)


def test_the_free_air_current_of_the_circulars_chart():
    """FAA AC 43.13-1B, figure 11-4a by its worked example: AWG 14, 150 degC rise, 47 A."""
    found = result_of("temperature --current 1 A --size AWG 14 --wire awg-etfe --ambient 0 degC")
    assert found["current capacity"] == pytest.approx(47, rel=0.10)


def test_the_factors_of_the_circulars_charts():
    """FAA AC 43.13-1B, 11-69: 8 wires 60 percent loaded 0.6; 0.91 at 20 000 ft."""
    words = "temperature --current 1 A --size AWG 14 --wire awg-etfe"
    alone = result_of(words)["current capacity"]
    eight = result_of(f"{words} --bundle 8 --loaded 60 %")["current capacity"]
    high = result_of(f"{words} --altitude 20000 ft")["current capacity"]
    assert eight / alone == pytest.approx(0.6, abs=0.02)
    assert high / alone == pytest.approx(0.91, abs=0.005)


def test_the_resistance_at_20_degrees_of_1_5_mm2_class_5():
    """IEC 60228 class 5: 13.3 ohm/km for 1.5 mm2, so 1 A over 10 m there loses 0.133 V."""
    found = result_of(
        "drop --current 1 A --length 10 m --size 1.5 mm2 --return body --conductor 20 degC"
    )
    assert found["drop"] == pytest.approx(0.133, rel=0.001)


def test_the_steps_let_a_reader_do_the_drop_again():
    words = "drop --current 8.5 A --length 3.2 m --size '1.5 mm2' --contacts 4 --contact pin-2.8"
    found = result_of(f"{words} --conductor 60 degC")
    wire = 8.5 * 0.0133 * (234.5 + 60) / 254.5 * 6.4
    assert found["drop"] == pytest.approx(wire + 8.5 * 4 * 0.004, rel=0.001)


def test_a_fuse_and_a_relay_add_to_the_drop():
    """By hand: 0.1 V at the fuse's rated current is 0.05 V at half; 10 A x 10 mohm is 0.1 V."""
    words = "drop --current 10 A --length 1 m --size '2.5 mm2'"
    alone = result_of(words)["drop"]
    with_both = result_of(f"{words} --rating 20 A --other 10 mohm")["drop"]
    assert with_both - alone == pytest.approx(0.15)


def test_air_hotter_than_the_insulation_is_refused_with_a_hotter_family():
    ended = run("size --current 2 A --length 1 m --ambient 120 degC")
    assert ended.exit_code == 2
    assert "--ambient" in ended.output and "thin-wall-125" in ended.output


def test_a_current_for_which_there_is_no_wire_is_refused():
    ended = run("size --current 4000 A --length 1 m")
    assert ended.exit_code == 2
    assert "--current: the thickest wire, 120 mm², carries" in ended.output
    assert "--length: the thickest wire" in ended.output


def test_a_size_that_a_family_does_not_have_names_those_it_has():
    ended = run("drop --current 2 A --length 1 m --size AWG 13 --wire awg-etfe")
    assert ended.exit_code == 2 and "AWG 14" in ended.output


def test_an_overloaded_wire_gets_a_caution():
    said = run("drop --current 60 A --length 1 m --size 0.5 mm2").output
    assert "CAUTION" in said and "take a thicker one" in said.replace("\n", " ")


@settings(max_examples=20, deadline=None)
@given(
    amps=st.integers(1, 60),
    more=st.integers(0, 30),
    metres=st.integers(1, 8),
    hotter=st.integers(0, 40),
)
def test_more_current_length_or_heat_never_gives_a_thinner_wire(amps, more, metres, hotter):
    words = f"size --wire thin-wall-125 --system 48 V --length {metres} m"
    first = result_of(f"{words} --current {amps} A --ambient 40 degC")["wire size"]
    then = result_of(f"{words} --current {amps + more} A --ambient {40 + hotter} degC")["wire size"]
    longer = result_of(
        f"size --wire thin-wall-125 --system 48 V --length {metres + 3} m --current {amps} A"
    )["wire size"]
    assert float(then.split()[0]) >= float(first.split()[0])
    assert float(longer.split()[0]) >= float(first.split()[0])

"""Fuse, short circuit, sensor and charging against standards and sums by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calculators.run import result_of, run


def test_copper_in_pvc_stands_its_published_constant():
    """IEC 60364-5-54: k = 143 A s^0.5/mm2 from 30 to 160 degC, 115 from 70 to 160 degC."""
    for start, k in ((30, 143), (70, 115)):
        found = result_of(
            f"withstand --size 10 mm2 --current 100 A --time 1 s --start {start} degC "
            "--final 160 degC"
        )
        assert found["largest current for that time"] == pytest.approx(10 * k, rel=0.01)


def test_a_short_circuit_longer_than_the_wire_stands_gets_a_caution():
    said = run("withstand --size 0.5 mm2 --current 400 A --time 1 s").output
    assert "is harmed before it ends" in said and "CAUTION" in said


def test_no_heat_may_be_added_to_copper_that_is_as_hot_already():
    words = "withstand --size 1 mm2 --current 1 A --time 1 s --start 170 degC --final 160 degC"
    assert run(words).exit_code == 2


def test_a_blade_fuse_for_a_steady_load_runs_at_three_quarters():
    """Common practice, no source: 8.5 A / 0.75 = 11.3 A, so 15 A, at 23 degC."""
    found = result_of("fuse --current 8.5 A --ambient 23 degC")
    assert found["fuse"].startswith("15 A")
    assert found["carries for ever"] == pytest.approx(0.75 * 15)


def test_the_slow_side_of_a_blade_fuse_at_135_percent():
    """ISO 8820-3 (memory): up to 600 s at 1.35 times the rating."""
    said = run("fuse --current 8.5 A --ambient 23 degC").output
    assert "At 20.25 A it may take 600 s" in said.replace("\n", " ")


def test_an_inrush_above_the_fast_side_takes_the_next_rating():
    """ISO 8820-3 (memory): at 2 times the rating a blade fuse may open in 0.15 s."""
    words = "fuse --current 1 A --ambient 23 degC --inrush 20 A"
    short = result_of(f"{words} --inrush-time 140 ms")["fuse"]
    longer = result_of(f"{words} --inrush-time 160 ms")["fuse"]
    assert (short.split()[0], longer.split()[0]) == ("10", "15")


def test_a_fuse_that_does_not_protect_its_wire_is_told():
    found = result_of("fuse --current 5 A --size 0.35 mm2 --rating 40 A")
    assert "the wire is harmed before the fuse opens" in found["verdict"]
    assert "CAUTION" in run("fuse --current 5 A --size 0.35 mm2 --rating 40 A").output


def test_a_fuse_over_its_wire_would_pass_the_adiabatic_limit():
    """At a dead short the slow side is 0.1 s at 6 times (ISO 8820-3, memory): the rating may not
    be above k S / (6 sqrt(0.1)) with k for 20 to 160 degC, 148 A s^0.5/mm2 (IEC 60364-5-54)."""
    found = result_of("fuse --current 1 A --size 0.5 mm2 --wire thin-wall")
    assert found["largest fuse for the wire"] <= 148 * 0.5 / (6 * math.sqrt(0.1))


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(["0.35 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2"]))
def test_a_thicker_wire_never_takes_a_smaller_fuse(size):
    thin = result_of(f"fuse --current 1 A --size '{size}'")["largest fuse for the wire"]
    thick = result_of("fuse --current 1 A --size 4 mm2")["largest fuse for the wire"]
    assert thin < thick


@pytest.mark.parametrize(
    ("celsius", "ohms"), [(100, 138.51), (0, 100.0), (-50, 80.31), (400, 247.09)]
)
def test_a_pt100_reads_as_the_standards_table(celsius, ohms):
    """IEC 60751: 138.51 ohm at 100 degC; the others of its table from memory."""
    found = result_of(f"sensor --type platinum --at '{celsius} degC'")
    assert found["ohms, unplugged"] == pytest.approx(ohms, abs=0.006)


def test_a_class_b_pt100_is_within_0_8_kelvin_at_100_degrees():
    """IEC 60751, class B: 0.3 + 0.005 t; the slope there is 0.379 ohm a kelvin."""
    found = result_of("sensor --type platinum --at 100 degC")
    reach = found["ohms, unplugged, highest"] - found["ohms, unplugged, lowest"]
    assert reach == pytest.approx(2 * 0.8 * 0.379, rel=0.005)


def test_a_pt1000_in_fahrenheit():
    found = result_of("sensor --type platinum --ohms 1 kohm --at 212 degF")
    assert found["ohms, unplugged"] == pytest.approx(1385.1, abs=0.06)


def test_three_points_of_a_thermistor_give_a_fourth():
    """A 2252 ohm thermistor's published table (memory): 7355 at 0, 811.3 at 50, 152.8 at 100."""
    points = "0 degC 7355 ohm, 50 degC 811.3 ohm, 100 degC 152.8 ohm"
    found = result_of(f"sensor --type ntc --points '{points}' --at 25 degC")
    assert found["ohms, unplugged"] == pytest.approx(2252, rel=0.003)


def test_a_pull_up_as_large_as_the_sensor_halves_the_voltage():
    """Ohm's law: at 25 degC the sensor has its nominal resistance."""
    words = "sensor --type ntc --ohms 2.2 kohm --beta 3435 K --at 25 degC --pull-up 2200 ohm"
    assert result_of(words)["volts at the pin"] == pytest.approx(2.5)


def test_a_pressure_sensor_follows_its_supply():
    """By hand: half of 10 bar is 2.5 V of 5 V; at 4.8 V supply 2.4 V. 72.52 psi are 5 bar."""
    words = "sensor --type volts --points '0 bar 0.5 V, 10 bar 4.5 V' --of 5 V --supply 4.8 V"
    assert result_of(f"{words} --at 5 bar")["volts at the pin"] == pytest.approx(2.4)
    assert result_of(f"{words} --at 72.519 psi")["volts at the pin"] == pytest.approx(2.4, rel=1e-5)


def test_a_current_output_over_250_ohm():
    """By hand: 12 mA over 250 ohm is 3 V."""
    words = "sensor --type current --points '0 bar 4 mA, 10 bar 20 mA' --at 5 bar"
    assert result_of(words)["volts at the pin"] == pytest.approx(3.0)


def test_an_inductive_sensor_gives_volts_with_speed():
    """Faraday: 1.2 V at 300 rpm is 2.4 V at 600 rpm."""
    found = result_of("sensor --type inductive --ohms 800 ohm --volts 1.2 V --at 600 rpm")
    assert found["alternating volts"] == pytest.approx(2.4)


def test_a_switch_and_a_hall_sensor_pull_down_or_let_go():
    words = "sensor --type switch --pull-up 1 kohm --at"
    assert result_of(f"{words} closed")["volts at the pin"] == pytest.approx(0.0)
    assert result_of(f"{words} open")["volts at the pin"] == pytest.approx(5.0)
    hall = "sensor --type hall --pull-up 2.2 kohm --at"
    assert result_of(f"{hall} on")["volts at the pin, highest"] < 0.5
    assert result_of(f"{hall} off")["volts at the pin, lowest"] > 4.8


@pytest.mark.parametrize(
    ("words", "about"),
    [
        ("--type ntc --at 5 bar --ohms 1 kohm --beta 3000 K", "--at"),
        ("--type ntc --at 5 degC --ohms 1 kohm", "--ohms"),
        ("--type ntc --at 5 degC --points '0 degC 1 kohm, 20 degC 2 kohm'", "--points"),
        ("--type ntc --at 5 degC --points '0 degC 1 kohm'", "--points"),
        ("--type ntc --at 5 degC --points '0 degC 2 kohm, 0 degC 1 kohm'", "--points"),
        ("--type platinum --at 900 degC", "--at"),
        ("--type volts --at 5 bar", "--points"),
        ("--type volts --at 5 degC --points '0 bar 1 V, 5 bar 2 V'", "--at"),
        ("--type volts --at 5 bar --points '0 bar 1 A, 5 bar 2 A'", "--points"),
        ("--type switch --at shut --pull-up 1 kohm", "--at"),
        ("--type hall --at on", "--pull-up"),
        ("--type inductive --at 5 rpm", "--ohms"),
    ],
)
def test_a_sensor_that_does_not_fit_is_refused(words, about):
    ended = run(f"sensor {words}")
    assert ended.exit_code == 2 and ended.output.startswith(f"{about}:"), ended.output


def test_an_input_that_had_no_part_is_told():
    said = run("sensor --type platinum --at 20 degC --beta 3000 K").output
    assert "Had no part in it: --beta." in said


CURVE = "--curve '1500 rpm 20 A, 3000 rpm 50 A'"


def test_the_balance_over_a_day_by_hand():
    """At 2000 rpm 20 + 30 x 500/1500 = 30 A: +2 A for 40 %; below the curve -10 A for 60 %."""
    states = "idle 900 rpm 10 A 60 %, road 2000 rpm 28 A 40 %"
    found = result_of(f"charging {CURVE} --states '{states}'")
    assert found["balance"] == pytest.approx(0.4 * 2 - 0.6 * 10)
    assert found["verdict"] == "the battery runs flat"


def test_a_battery_gives_its_rated_capacity_over_twenty_hours():
    """EN 50342-1: C20 is what it gives in 20 h, so 40 Ah at 2 A last 20 h."""
    words = f"charging {CURVE} --states '3000 rpm 10 A 100 %' --usable 100 % --capacity 40 Ah"
    found = result_of(f"{words} --stopped 2 A")
    assert found["lasts with the engine stopped"] == pytest.approx(20.0)


def test_a_gain_that_the_battery_does_not_give_back_gets_a_caution():
    states = "idle 900 rpm 10 A 49 %, road 3000 rpm 40 A 51 %"
    assert "CAUTION" in run(f"charging {CURVE} --states '{states}'").output


@pytest.mark.parametrize(
    "words",
    [
        "--curve '3000 rpm 50 A, 1500 rpm 20 A' --states '1 rpm 1 A 10 %'",
        "--curve '1500 rpm -20 A' --states '1 rpm 1 A 10 %'",
        "--curve '1500 rpm 20 A' --states '1 rpm 1 A 60 %, 2 rpm 1 A 60 %'",
        "--curve '1500 rpm 20 A' --states '1 rpm -1 A 60 %'",
        "--curve '1500 rpm 20 A' --states '1 rpm 60 %'",
        "--curve '1500 20 A' --states '1 rpm 1 A 60 %'",
    ],
)
def test_a_supply_that_cannot_be_is_refused(words):
    ended = run(f"charging {words}")
    assert ended.exit_code == 2 and ended.output.startswith("--"), ended.output

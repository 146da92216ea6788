"""Heating and cooling in time against an independent integration and the adiabatic limit."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from buildbook.catalogue.load import wire_families
from buildbook.catalogue.model import Conductor
from buildbook.sizing.ampacity import free_air_a
from buildbook.sizing.heat_balance import heat_w_per_m
from buildbook.sizing.short_circuit_withstand import k_factor
from buildbook.sizing.transient_heating import (
    cooled_c,
    intermittent_a,
    overload_a,
    temperature_after_c,
    time_to_s,
)

THIN = wire_families()["thin-wall"].conductors
WIRE = THIN[3]


def integrated_c(wire, current_a, ambient_c, start_c, time_s):
    """scipy's answer: copper of 3.45 J/(cm3 K), 234.5 degC rule, the true loss at each moment."""

    def warming(_time, state):
        made = current_a**2 * wire.ohm_per_m_20c * (234.5 + state[0]) / 254.5
        return (made - heat_w_per_m(wire, state[0], ambient_c)) / (wire.area_mm2 * 3.45)

    return solve_ivp(warming, (0, time_s), [start_c], rtol=1e-6, atol=1e-6).y[0, -1]


@pytest.mark.parametrize("time_s", [0.5, 5.0, 50.0, 600.0])
@pytest.mark.parametrize("wire", [THIN[0], THIN[3], THIN[-1]], ids=lambda wire: wire.label)
def test_overload_reaches_its_limit_as_scipy_integrates_it(wire, time_s):
    amps = overload_a(wire, 150.0, 60.0, time_s)
    assert integrated_c(wire, amps, 60.0, 60.0, time_s) == pytest.approx(150.0, abs=0.3)


@pytest.mark.parametrize("amps", [12.0, 20.0, 40.0, 150.0])
def test_curve_is_that_of_scipy_all_along(amps):
    for time_s in (0.2, 3.0, 20.0, 200.0):
        found = temperature_after_c(WIRE, amps, 30.0, time_s)
        if found < 400:
            assert integrated_c(WIRE, amps, 30.0, 30.0, time_s) == pytest.approx(found, rel=0.005)


@pytest.mark.parametrize("time_s", [0.3, 3.0, 30.0, 300.0])
def test_cooling_is_that_of_scipy(time_s):
    found = cooled_c(WIRE, 110.0, 25.0, time_s)
    assert integrated_c(WIRE, 0.0, 25.0, 110.0, time_s) == pytest.approx(found, abs=0.7)


def test_intermittent_load_peaks_at_its_limit_cycle_after_cycle():
    amps = intermittent_a(WIRE, 100.0, 40.0, 10.0, 20.0)
    temperature = 40.0
    for _ in range(12):
        temperature = integrated_c(WIRE, amps, 40.0, temperature, 10.0)
        peak = temperature
        temperature = integrated_c(WIRE, 0.0, 40.0, temperature, 20.0)
    assert peak == pytest.approx(100.0, abs=0.5)


def test_intermittent_load_lies_between_for_ever_and_once():
    for on_s, off_s in ((1.0, 1.0), (10.0, 20.0), (60.0, 600.0)):
        found = intermittent_a(WIRE, 100.0, 40.0, on_s, off_s)
        assert free_air_a(WIRE, 100.0, 40.0) < found < overload_a(WIRE, 100.0, 40.0, on_s)


def test_fast_pulses_heat_by_their_root_mean_square():
    # Definition of rms: half the time on carries sqrt(2) times the steady current
    found = intermittent_a(WIRE, 100.0, 40.0, 0.01, 0.01)
    assert found == pytest.approx(math.sqrt(2) * free_air_a(WIRE, 100.0, 40.0), rel=1e-3)


def test_a_load_without_a_pause_is_a_steady_one():
    found = intermittent_a(WIRE, 100.0, 40.0, 10.0, 0.0)
    assert found == pytest.approx(free_air_a(WIRE, 100.0, 40.0), rel=1e-9)


def test_a_load_with_an_endless_pause_starts_cold():
    found = intermittent_a(WIRE, 100.0, 40.0, 10.0, 1e6)
    assert found == pytest.approx(overload_a(WIRE, 100.0, 40.0, 10.0), rel=1e-6)


def test_short_overload_is_the_adiabatic_limit():
    # IEC 60364-4-43: k = 115 A s^0.5 / mm2 for copper in PVC, 70 to 160 degC (memory), for a
    # conductor of 0.017241 ohm mm2/m
    pure = Conductor("1 mm2", 1.0, 0.017241, 2.1, 0.0121, "")
    k = overload_a(pure, 160.0, 70.0, 1e-4) * math.sqrt(1e-4)
    assert k == pytest.approx(k_factor(70, 160), rel=1e-3)
    for size in THIN:
        k = overload_a(size, 160.0, 70.0, 0.05) * math.sqrt(0.05) / size.area_mm2
        assert 0.85 * 115 < k <= 115


def test_endless_overload_is_the_free_air_current():
    for size in THIN:
        endless = overload_a(size, 100.0, 40.0, 1e7)
        assert endless == pytest.approx(free_air_a(size, 100.0, 40.0), rel=1e-6)


def test_steady_current_never_reaches_its_limit():
    steady = free_air_a(WIRE, 100.0, 40.0)
    assert time_to_s(WIRE, 0.999 * steady, 100.0, 40.0) == math.inf
    assert time_to_s(WIRE, 1.001 * steady, 100.0, 40.0) < 1e4


def test_no_time_is_left_at_the_limit_and_none_below_the_air():
    assert time_to_s(WIRE, 10.0, 100.0, 100.0) == 0.0
    assert time_to_s(WIRE, 10.0, 100.0, 40.0, 100.0) == 0.0
    assert overload_a(WIRE, 100.0, 100.0, 1.0) == 0.0
    assert overload_a(WIRE, 100.0, 110.0, 1.0) == 0.0
    assert intermittent_a(WIRE, 100.0, 100.0, 1.0, 1.0) == 0.0
    assert cooled_c(WIRE, 40.0, 40.0, 5.0) == 40.0


def test_a_warm_start_saves_time_and_a_start_below_the_air_counts_as_the_air():
    cold = time_to_s(WIRE, 30.0, 100.0, 40.0)
    assert time_to_s(WIRE, 30.0, 100.0, 40.0, 70.0) < cold
    assert (
        time_to_s(WIRE, 30.0, 100.0, 40.0, 20.0) == cold == time_to_s(WIRE, 30.0, 100.0, 40.0, 40.0)
    )


def test_cooling_ends_at_the_air_and_is_whole_at_once():
    assert cooled_c(WIRE, 100.0, 40.0, 0.0) == pytest.approx(100.0)
    assert cooled_c(WIRE, 100.0, 40.0, 1e6) == pytest.approx(40.0)


def test_temperature_stops_at_the_melting_point():
    # Copper melts at 1085 degC (memory)
    assert temperature_after_c(WIRE, 5000.0, 20.0, 10.0) == pytest.approx(1085.0)
    assert temperature_after_c(WIRE, 0.0, 20.0, 10.0) == pytest.approx(20.0, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(THIN) - 2), st.floats(-20, 80), st.floats(0.01, 2000), st.floats(1.05, 4))
def test_longer_hotter_or_thinner_never_carries_more(size, ambient, time, times):
    now = overload_a(THIN[size], 125.0, ambient, time)
    assert overload_a(THIN[size], 125.0, ambient, time * times) <= now
    assert overload_a(THIN[size], 125.0, ambient + 10, time) < now
    assert overload_a(THIN[size + 1], 125.0, ambient, time) > now


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(THIN) - 1), st.floats(-20, 80), st.floats(0.01, 2000))
def test_time_and_current_are_inverse(size, ambient, time):
    amps = overload_a(THIN[size], 125.0, ambient, time)
    late = time_to_s(THIN[size], amps * (1 - 1e-9), 125.0, ambient)
    soon = time_to_s(THIN[size], amps * (1 + 1e-9), 125.0, ambient)
    assert soon <= time * (1 + 1e-6) and late >= time * (1 - 1e-6)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_pulses_of_a_second_heat_every_wire_by_their_root_mean_square(share):
    """What `duty` in a description promises: within 8 percent, for the thinnest wire there is."""
    for family in wire_families().values():
        thinnest = family.conductors[0]
        rms = free_air_a(thinnest, family.rated_c, 40.0) / math.sqrt(share)
        found = intermittent_a(thinnest, family.rated_c, 40.0, share, 1 - share)
        assert 0.92 * rms < found <= rms * (1 + 1e-9)

"""Currents and temperatures of conductors against published figures."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.catalogue.load import wire_families
from buildbook.sizing.ampacity import (
    altitude_factor,
    ampacity_a,
    bundle_factor,
    conductor_c,
    free_air_a,
    heat_w_per_m,
    overload_a,
    resistance_ratio,
)
from tests.sizing.handbook import AIRCRAFT, TABLE_11_9, conductor

THIN = wire_families()["thin-wall"].conductors


def test_awg_14_carries_47_a_in_free_air_at_150_degrees_rise():
    # AC 43.13-1B, figure 11-4a, read off in its own worked example
    (awg_14,) = (c for c in AIRCRAFT.conductors if c.label == "AWG 14")
    assert free_air_a(awg_14, 200.0, 50.0) == pytest.approx(47, rel=0.06)


def test_eight_wires_at_60_percent_carry_six_tenths():
    # AC 43.13-1B, figure 11-5, read off in its worked example
    assert bundle_factor(8, 0.6) == pytest.approx(0.6, abs=0.005)


def test_altitude_of_20000_ft_takes_a_factor_of_0_91():
    # AC 43.13-1B, figure 11-6, read off in its worked example
    assert altitude_factor(20000 * 0.3048) == pytest.approx(0.91, abs=0.002)


@pytest.mark.parametrize("row", TABLE_11_9, ids=lambda row: row[0])
def test_bundle_currents_of_table_11_9_are_met_within_a_quarter(row):
    wires = 33 if row[5] < 10000 else 9
    for rated_c, amps in zip((105.0, 150.0, 200.0), row[1:4], strict=True):
        found = free_air_a(conductor(row), rated_c, 70.0)
        found *= bundle_factor(wires, 0.2) * altitude_factor(60000 * 0.3048)
        assert found == pytest.approx(amps, rel=0.25)


@pytest.mark.parametrize("row", TABLE_11_9, ids=lambda row: row[0])
def test_what_we_allow_never_exceeds_table_11_9_for_the_same_bundle(row):
    """We take six tenths of a bundle as loaded, the table two: ours must be the lower."""
    wires = 33 if row[5] < 10000 else 9
    allowed = ampacity_a(conductor(row), 150.0, 70.0, wires, 60000 * 0.3048)
    assert allowed <= row[2]


@pytest.mark.parametrize("temperature_c", [0.0, 60.0, 100.0])
def test_resistance_follows_coppers_coefficient(temperature_c):
    # IEC 60028: 0.00393 per degC at 20 degC (memory)
    expected = 1 + 0.00393 * (temperature_c - 20)
    assert resistance_ratio(temperature_c) == pytest.approx(expected, rel=1e-3)


def test_catalogue_resistance_is_iec_60228_class_5():
    # IEC 60228, class 5, plain copper, ohm per km at 20 degC
    known = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30}
    found = {c.area_mm2: 1000 * c.ohm_per_m_20c for c in THIN if c.area_mm2 in known}
    assert found == pytest.approx(known)


def test_loaded_conductor_warms_by_the_root_of_its_share():
    # AC 43.13-1B, 11-66: T2 = T1 + (TR - T1) sqrt(I2 / Imax): a quarter of the current, half
    assert conductor_c(5.0, 20.0, 105.0, 55.0) == pytest.approx(80.0)


def test_short_overload_is_close_under_the_adiabatic_limit():
    # IEC 60364-4-43: k = 115 A s^0.5 / mm2 for copper in PVC, 70 to 160 degC (memory)
    for size in THIN:
        k = overload_a(size, 160.0, 70.0, 0.05) * math.sqrt(0.05) / size.area_mm2
        assert 0.85 * 115 < k <= 115


def test_endless_overload_is_the_free_air_current():
    for size in THIN:
        endless = overload_a(size, 100.0, 40.0, 1e7)
        assert endless == pytest.approx(free_air_a(size, 100.0, 40.0), rel=1e-6)


@pytest.mark.parametrize("time_s", [0.5, 5.0, 50.0, 600.0])
def test_wire_at_its_overload_current_stays_under_the_limit_second_by_second(time_s):
    """Integrates the heat balance in small steps with the true loss at each temperature."""
    wire = THIN[3]
    amps = overload_a(wire, 150.0, 60.0, time_s)
    store = wire.area_mm2 * 1e-6 * 8890 * 388
    temperature, step = 60.0, time_s / 2000
    for _ in range(2000):
        made = amps**2 * wire.ohm_per_m_20c * resistance_ratio(temperature)
        temperature += step * (made - heat_w_per_m(wire, round(temperature, 1), 60.0)) / store
    assert temperature <= 151.0


ambients = st.floats(20, 95)
sizes = st.integers(0, len(THIN) - 2)


@given(sizes, ambients, st.integers(1, 80), st.floats(0, 3000))
def test_thicker_wire_carries_more(size, ambient, bundle, altitude):
    thin, thick = (ampacity_a(THIN[size + i], 100.0, ambient, bundle, altitude) for i in (0, 1))
    assert thick > thin


@given(sizes, st.floats(20, 80), st.floats(1, 15), st.integers(1, 40))
def test_hotter_or_fuller_never_carries_more(size, ambient, hotter, bundle):
    now = ampacity_a(THIN[size], 100.0, ambient, bundle, 0)
    assert ampacity_a(THIN[size], 100.0, ambient + hotter, bundle, 0) < now
    assert ampacity_a(THIN[size], 100.0, ambient, bundle + 1, 0) <= now


def test_air_hotter_than_the_insulation_carries_nothing():
    assert ampacity_a(THIN[0], 100.0, 110.0, 1, 0) == 0

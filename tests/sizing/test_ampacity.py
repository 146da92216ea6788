"""Currents and temperatures of conductors against published figures."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.catalogue.load import wire_families
from buildbook.sizing.ampacity import ampacity_a, conductor_c, free_air_a
from buildbook.sizing.bundle_derating import bundle_factor
from buildbook.sizing.heat_balance import heat_w_per_m
from tests.sizing.handbook import (
    AIRCRAFT,
    BOAT_ENGINE_SPACE,
    BOAT_TABLE_5,
    FOOT_M,
    IEC_METHOD_F,
    IEC_METHOD_F_AMBIENTS_C,
    TABLE_11_9,
    TABLE_11_9_AMBIENT_C,
    TABLE_11_9_FT,
    Conductor,
    boat_cable,
    conductor,
    wires_of_table_11_9,
)

THIN = wire_families()["thin-wall"].conductors


def test_awg_14_carries_47_a_in_free_air_at_150_degrees_rise():
    # AC 43.13-1B, figure 11-4a, read off in its own worked example
    (awg_14,) = (c for c in AIRCRAFT.conductors if c.label == "AWG 14")
    assert free_air_a(awg_14, 200.0, 50.0) == pytest.approx(47, rel=0.05)


@pytest.mark.parametrize("column", [1, 2, 3], ids=["105 degC", "150 degC", "200 degC"])
@pytest.mark.parametrize("row", TABLE_11_9, ids=lambda row: row[0])
def test_every_current_of_table_11_9_is_met(row, column):
    # AC 43.13-1B, table 11-9, under its note 1: within 15 percent or half an ampere, and none
    # more than 10 percent above
    rated_c = (105.0, 150.0, 200.0)[column - 1]
    found = ampacity_a(
        conductor(row),
        rated_c,
        TABLE_11_9_AMBIENT_C,
        wires_of_table_11_9(row),
        TABLE_11_9_FT * FOOT_M,
        loaded_share=0.2,
    )
    assert abs(found - row[column]) <= max(0.15 * row[column], 0.5)
    assert found <= 1.10 * row[column]


@pytest.mark.parametrize("row", TABLE_11_9, ids=lambda row: row[0])
def test_what_we_allow_never_exceeds_table_11_9_for_the_same_bundle(row):
    """We take six tenths of a bundle as loaded, the table two: ours must be the lower."""
    allowed = ampacity_a(
        conductor(row), 150.0, 70.0, wires_of_table_11_9(row), TABLE_11_9_FT * FOOT_M
    )
    assert allowed <= row[2]


@pytest.mark.parametrize("row", BOAT_TABLE_5, ids=lambda row: f"AWG {row[0]}")
def test_feed_and_return_together_stay_within_the_boat_rule(row):
    # 33 CFR 183.425, table 5, columns for 105 and 125 degC
    wire = boat_cable(row[0], row[3])
    for rated_c, allowed in zip((105.0, 125.0), row[1:3], strict=True):
        found = ampacity_a(wire, rated_c, 30.0, 2, 0.0, loaded_share=1.0)
        assert 0.8 * allowed < found <= allowed


@pytest.mark.parametrize(("rated_c", "factor"), BOAT_ENGINE_SPACE.items())
def test_hot_engine_spaces_cost_what_the_boat_rule_says(rated_c, factor):
    # 33 CFR 183.425, table 5, note 1: 50 instead of 30 degC
    wire = boat_cable(12, 4.0)
    share = free_air_a(wire, rated_c, 50.0) / free_air_a(wire, rated_c, 30.0)
    assert share == pytest.approx(factor, abs=0.025)


@pytest.mark.parametrize("row", IEC_METHOD_F, ids=lambda row: f"{row[0]} mm2")
def test_three_touching_cables_carry_what_iec_60364_allows_or_a_little_less(row):
    # IEC 60364-5-52, method F, copper, 90 degC
    area, amps, ohm_per_km, outside = row
    wire = Conductor(f"{area} mm2", area, ohm_per_km / 1000, outside, 0.1, "read")
    for ambient_c, allowed in zip(IEC_METHOD_F_AMBIENTS_C, amps, strict=True):
        found = ampacity_a(wire, 90.0, ambient_c, 3, 0.0, loaded_share=1.0)
        assert 0.85 * allowed < found <= allowed


def test_loaded_conductor_warms_by_the_root_of_its_share():
    # AC 43.13-1B, 11-66: T2 = T1 + (TR - T1) sqrt(I2 / Imax): a quarter of the current, half
    assert conductor_c(5.0, 20.0, 105.0, 55.0) == pytest.approx(80.0)
    assert conductor_c(-5.0, 20.0, 105.0, 55.0) == pytest.approx(80.0)
    assert conductor_c(20.0, 20.0, 105.0, 55.0) == pytest.approx(105.0)
    assert conductor_c(0.125, 0.5, 105.0, 55.0) == pytest.approx(80.0)


def test_a_conductor_that_may_carry_nothing_is_as_warm_as_the_air():
    assert conductor_c(0.0, 0.0, 100.0, 110.0) == 110.0


def test_the_temperature_formula_is_the_conservative_one_it_says():
    """AC 43.13-1B calls it quite conservative: the heat balance gives a cooler conductor."""
    wire = THIN[4]
    full = free_air_a(wire, 105.0, 40.0)
    for share in (0.2, 0.5, 0.8):
        at = conductor_c(share * full, full, 105.0, 40.0)
        assert free_air_a(wire, at, 40.0) > share * full


def test_bundle_and_altitude_multiply_the_free_air_current():
    # Hand product: chart factors of AC 43.13-1B's example, 0.6 at 8 wires and 0.91 at 20 000 ft
    wire = THIN[4]
    found = ampacity_a(wire, 100.0, 50.0, 8, 20000 * FOOT_M, loaded_share=0.6)
    assert found == pytest.approx(0.6 * 0.91 * free_air_a(wire, 100.0, 50.0), rel=0.01)


def test_bundle_is_taken_as_loaded_as_the_bundle_room_says():
    alone = ampacity_a(THIN[4], 100.0, 50.0, 1, 0)
    assert ampacity_a(THIN[4], 100.0, 50.0, 12, 0) == pytest.approx(alone * bundle_factor(12))


def test_current_holds_where_made_heat_is_shed_heat():
    """I2 r = q at the same temperature, by the sum itself."""
    wire = THIN[2]
    amps = free_air_a(wire, 100.0, 40.0)
    made = amps**2 * wire.ohm_per_m_20c * (234.5 + 100) / 254.5
    assert made == pytest.approx(heat_w_per_m(wire, 100.0, 40.0), rel=1e-9)


ambients = st.floats(20, 95)
sizes = st.integers(0, len(THIN) - 2)


@settings(deadline=None)
@given(sizes, ambients, st.integers(1, 80), st.floats(0, 3000))
def test_thicker_wire_carries_more(size, ambient, bundle, altitude):
    thin, thick = (ampacity_a(THIN[size + i], 100.0, ambient, bundle, altitude) for i in (0, 1))
    assert thick > thin


@settings(deadline=None)
@given(sizes, st.floats(20, 80), st.floats(1, 15), st.integers(1, 40))
def test_hotter_or_fuller_never_carries_more(size, ambient, hotter, bundle):
    now = ampacity_a(THIN[size], 100.0, ambient, bundle, 0)
    assert ampacity_a(THIN[size], 100.0, ambient + hotter, bundle, 0) < now
    assert ampacity_a(THIN[size], 100.0, ambient, bundle + 1, 0) <= now
    assert ampacity_a(THIN[size], 100.0, ambient, bundle, 1000) < now


def test_air_hotter_than_the_insulation_carries_nothing():
    assert ampacity_a(THIN[0], 100.0, 110.0, 1, 0) == 0
    assert ampacity_a(THIN[0], 100.0, 100.0, 1, 0) == 0


def test_no_rise_no_current_but_any_rise_some():
    assert math.isclose(free_air_a(THIN[0], 100.0, 100.0), 0.0)
    assert free_air_a(THIN[0], 100.1, 100.0) > 0

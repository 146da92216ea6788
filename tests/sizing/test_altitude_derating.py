"""Air pressure and the altitude factor against published figures."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.sizing.altitude_derating import (
    CONVECTED_SHARE,
    altitude_factor,
    convected_share,
    pressure_ratio,
)

FOOT_M = 0.3048


@pytest.mark.parametrize(
    ("altitude_m", "hectopascal"),
    # ISO 2533, standard atmosphere by geopotential height (memory); 18 288 m is
    # 60 000 ft
    [
        (0, 1013.25),
        (1000, 898.75),
        (3000, 701.09),
        (5000, 540.20),
        (11000, 226.32),
        (15000, 120.45),
        (18288, 71.72),
        (20000, 54.749),
    ],
)
def test_pressure_is_that_of_the_standard_atmosphere(altitude_m, hectopascal):
    assert pressure_ratio(altitude_m) * 1013.25 == pytest.approx(hectopascal, rel=1.5e-4)


def test_below_the_sea_is_taken_as_sea_level():
    assert pressure_ratio(-400.0) == 1.0
    assert altitude_factor(-400.0) == 1.0


def test_pressure_is_smooth_where_the_two_laws_meet():
    assert pressure_ratio(11000.1) == pytest.approx(pressure_ratio(10999.9), rel=1e-4)


def test_altitude_of_20000_ft_takes_a_factor_of_0_91():
    # AC 43.13-1B, figure 11-6, read off in its worked example
    assert altitude_factor(20000 * FOOT_M) == pytest.approx(0.91, abs=1e-9)


def test_about_half_of_the_heat_goes_with_the_air():
    # Hand sum: (1 - 0.91^2) / (1 - sqrt(0.4595)), with 465.6 hPa at 20 000 ft (ISO 2533, memory)
    assert convected_share() == pytest.approx(0.1719 / (1 - math.sqrt(0.4595)), rel=2e-3)


def test_without_air_radiation_still_carries_the_rest():
    assert altitude_factor(200000.0) == pytest.approx(math.sqrt(1 - CONVECTED_SHARE), rel=1e-4)


@settings(deadline=None)
@given(st.floats(0, 20000), st.floats(1, 2000))
def test_higher_never_carries_more(altitude, climb):
    assert altitude_factor(altitude + climb) < altitude_factor(altitude) <= 1

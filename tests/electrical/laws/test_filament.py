"""Filament lamps against handbook exponents, a regulation's test volts and measured lamps."""

import numpy as np
import pytest

from buildbook.electrical.laws.filament import filament

INDICATOR = filament(12.0, 21 / 12)


def test_power_follows_volts_to_the_1_6():
    """Fink and Beaty, Standard Handbook for Electrical Engineers: power by volts, exponent 1.6."""
    volts = np.array([10.8, 13.2, 14.4])
    power = volts * INDICATOR.current_a(volts)
    assert power == pytest.approx(21 * (volts / 12) ** 1.6, rel=0.015)


def test_resistance_follows_the_colour_temperature():
    """The handbook's colour temperature (exponent 0.42), and tungsten's ohms as T^1.2."""
    volts = np.array([6.0, 9.0])
    ohms = volts / INDICATOR.current_a(volts)
    assert ohms / (12 / 1.75) == pytest.approx((volts / 12) ** (0.42 * 1.2), rel=0.04)


def test_21_w_lamp_stays_below_its_test_limit():
    """UN regulation 37, P21W: at most 26.5 W at 13.5 V, 25 W expected (from memory)."""
    power = 13.5 * float(INDICATOR.current_a(np.array([13.5]))[0])
    assert power < 26.5
    assert power == pytest.approx(25.0, rel=0.03)


@pytest.mark.parametrize(("volts", "watts", "cold_ohm"), [(120, 40, 28.0), (120, 100, 9.5)])
def test_cold_resistance_of_measured_lamps(volts, watts, cold_ohm):
    """40 W: 28 ohm cold against 360 hot (read from a public page); 100 W: 9.5 (from memory)."""
    assert filament(volts, watts / volts).cold_ohm == pytest.approx(cold_ohm, rel=0.12)


def test_an_ohmmeter_sees_the_cold_filament():
    branch = INDICATOR.branch(np.array([0.001]))
    assert 1 / branch.siemens[0] == pytest.approx(INDICATOR.cold_ohm)
    assert branch.amps[0] == pytest.approx(0.0)


def test_it_has_no_direction():
    volts = np.array([0.01, 5.0])
    assert INDICATOR.current_a(-volts) == pytest.approx(-INDICATOR.current_a(volts))


@pytest.mark.parametrize("volts", [0.01, 1.0, 13.5, -7.0])
def test_tangent_meets_the_law_and_its_slope(volts):
    at, step = np.array([volts]), 1e-6
    branch = INDICATOR.branch(at)
    rise = INDICATOR.current_a(at + step) - INDICATOR.current_a(at - step)
    assert branch.current_a(at) == pytest.approx(INDICATOR.current_a(at))
    assert branch.siemens == pytest.approx(rise / (2 * step), rel=1e-4)


def test_two_lamps_in_series_come_to_rest_by_tangents():
    """A 5 W lamp through a 21 W one at 12 V: both carry one current, and the small one has most."""
    small = filament(12.0, 5 / 12)
    middle = np.array([6.0])
    for _ in range(30):
        above, below = INDICATOR.branch(12 - middle), small.branch(middle)
        middle = (above.siemens * 12 + above.amps - below.amps) / (above.siemens + below.siemens)
    assert INDICATOR.current_a(12 - middle) == pytest.approx(small.current_a(middle))
    assert float(middle[0]) > 10

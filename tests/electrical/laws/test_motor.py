"""Permanent-magnet motors against their two equations, solved by another way."""

import numpy as np
import pytest
from scipy.optimize import brentq

from buildbook.electrical.laws.motor import FAN, PUMP, motor


def test_rated_point_and_stall_of_the_sheet():
    fan = motor(13.5, 9.5, 28.0, FAN)
    assert fan.current_a(np.array([13.5])) == pytest.approx([9.5])
    assert fan.speed(np.array([13.5])) == pytest.approx([1.0])
    assert 13.5 / fan.ohms == pytest.approx(28.0)


@pytest.mark.parametrize("steady", [FAN, PUMP, 1.0])
@pytest.mark.parametrize("volts", [5.0, 9.0, 12.0, 15.0])
def test_running_speed_balances_torque(volts, steady):
    """V = I R + k n with the load's torque, found by bracketing instead of the closed form."""
    fan = motor(13.5, 9.5, 28.0, steady)
    stall_ohm, back_v = 13.5 / 28, 13.5 - 9.5 * 13.5 / 28

    def short(speed):
        return volts - back_v * speed - stall_ohm * 9.5 * (steady + (1 - steady) * speed**2)

    assert float(fan.speed(np.array([volts]))[0]) == pytest.approx(brentq(short, 0, 3))


def test_a_pump_takes_its_current_at_low_volts_and_a_fan_does_not():
    low = np.array([9.0])
    assert float(motor(13.5, 8.5, 24, PUMP).current_a(low)[0]) > 0.8 * 8.5
    assert float(motor(13.5, 8.5, 24, FAN).current_a(low)[0]) < 0.7 * 8.5


def test_below_its_starting_volts_it_stands_as_a_resistance():
    pump = motor(13.5, 8.5, 24.0, PUMP)
    assert pump.speed(np.array([3.0])) == pytest.approx([0.0])
    assert pump.current_a(np.array([3.0])) == pytest.approx([3.0 * 24 / 13.5])


def test_reversed_it_turns_backwards():
    fan = motor(13.5, 9.5, 28.0)
    assert fan.speed(np.array([-13.5])) == pytest.approx([-1.0])
    assert fan.current_a(np.array([-13.5])) == pytest.approx([-9.5])


@pytest.mark.parametrize("volts", [1.0, 6.0, 13.5, -9.0])
def test_tangent_meets_the_law_and_its_slope(volts):
    fan, at, step = motor(13.5, 9.5, 28.0), np.array([volts]), 1e-6
    branch = fan.branch(at)
    rise = fan.current_a(at + step) - fan.current_a(at - step)
    assert branch.current_a(at) == pytest.approx(fan.current_a(at))
    assert branch.siemens == pytest.approx(rise / (2 * step), rel=1e-4)


def test_a_stall_current_below_the_rated_one_is_a_resistance():
    stuck = motor(12.0, 3.0, 2.0)
    assert float(stuck.current_a(np.array([12.0]))[0]) == pytest.approx(3.0, rel=0.01)

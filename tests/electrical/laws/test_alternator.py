"""Alternators: sensing at the battery, the limit, and a field that nothing excites."""

import numpy as np
import pytest

from buildbook.electrical.case import REGULATING
from buildbook.electrical.laws.alternator import Alternator

MACHINE = Alternator(14.4, 0.01, 900.0, senses=True)


def settled(sensed_at_battery, limit_a=100.0, load_a=40.0, cable_ohm=0.02):
    """Volts at the output and at the battery: a 12.7 V battery of 50 mohm, a load beside it."""
    out, battery, mode = np.array([12.7]), np.array([12.7]), np.array([REGULATING])
    limit = np.array([limit_a])
    for _ in range(60):
        sensed = battery if sensed_at_battery else np.zeros(1)
        branch = MACHINE.branch(mode, out, sensed, limit)
        cell, cable = 1 / 0.05, 1 / cable_ohm
        matrix = np.array([[branch.siemens[0] + cable, -cable], [-cable, cable + cell]])
        found = np.linalg.solve(matrix, [-branch.amps[0], 12.7 * cell - load_a])
        out, battery = found[:1], found[1:]
        sensed = battery if sensed_at_battery else np.zeros(1)
        mode = MACHINE.mode(mode, -branch.current_a(out), out, sensed, limit)
    return float(out[0]), float(battery[0])


def test_sensed_at_the_battery_it_holds_the_battery():
    output, battery = settled(sensed_at_battery=True)
    assert battery == pytest.approx(14.4, abs=0.001)
    amps = 40 + (14.4 - 12.7) / 0.05
    assert output == pytest.approx(14.4 + 0.02 * amps, abs=0.02)


def test_without_its_sense_wire_it_holds_its_own_output_a_little_higher():
    """Makers' manuals, read: 'slightly greater than the specified regulated voltage'."""
    output, battery = settled(sensed_at_battery=False)
    assert 14.4 - 1.0 < output < 14.4 + 0.6
    assert battery < output


def test_overloaded_it_gives_its_limit():
    _, battery = settled(sensed_at_battery=True, limit_a=30.0)
    assert battery == pytest.approx(12.7 - (40 - 30) * 0.05, abs=1e-6)


def test_standing_it_takes_nothing():
    _, battery = settled(sensed_at_battery=True, limit_a=0.0)
    assert battery == pytest.approx(12.7 - 40 * 0.05, abs=1e-6)


def test_unexcited_it_makes_nothing_at_idle():
    rpm, excited = np.array([0.0, 950.0, 950.0, 6000.0]), np.array([True, True, False, False])
    assert MACHINE.makes(rpm, excited).tolist() == [False, True, False, True]

"""Pulses too slow to be averaged: a wire and a fuse follow them."""

import math
from dataclasses import dataclass

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.sizing.slow_pulses import (
    SlowPulse,
    added_to_fuse_a,
    added_to_wire_a,
    added_while_on_a,
    heats_like_a,
    slow_pulse,
    time_constant_s,
)
from buildbook.sizing.transient_heating import intermittent_a
from tests.checks import minimal as m

THIN = wire_families()["thin-wall"]
ONE = next(c for c in THIN.conductors if c.area_mm2 == 1.0)


@dataclass(frozen=True)
class Way:
    load: object
    current_a: float
    state: str = "on"


def way(duty, frequency_hz, rms_a):
    return Way(m.load("x", "x.1", "x.2", 1.2, duty=duty, frequency_hz=frequency_hz), rms_a)


def test_a_tenth_of_ten_seconds_is_on_for_one():
    """10 A while on: root mean square 10 x 0.1^0.5."""
    pulse = slow_pulse(way(0.1, 0.1, 10 * math.sqrt(0.1)))
    assert pulse.on_a == pytest.approx(10.0)
    assert (pulse.on_s, pulse.period_s) == (pytest.approx(1.0), pytest.approx(10.0))


def test_fast_pulses_heat_like_their_root_mean_square_and_endless_ones_like_a_steady_load():
    assert heats_like_a(SlowPulse(10.0, 10 * 0.5**0.5, 0.005, 0.01), 30.0) == pytest.approx(
        10 * 0.5**0.5, rel=1e-3
    )
    assert heats_like_a(SlowPulse(10.0, 10 * 0.5**0.5, 1e4, 2e4), 30.0) == pytest.approx(10.0)


@pytest.mark.parametrize(("on_s", "off_s"), [(2.0, 18.0), (10.0, 20.0), (60.0, 60.0)])
def test_it_agrees_with_the_heat_balance_solved_in_time(on_s, off_s):
    """`intermittent_a` follows the balance through each pulse; first order is within a tenth."""
    limit_c = THIN.rated_c
    on_a = intermittent_a(ONE, limit_c, 40.0, on_s, off_s)
    steady_a = intermittent_a(ONE, limit_c, 40.0, 1.0, 0.0)
    share = on_s / (on_s + off_s)
    pulse = SlowPulse(on_a, on_a * math.sqrt(share), on_s, on_s + off_s)
    assert heats_like_a(pulse, time_constant_s(ONE, limit_c)) == pytest.approx(steady_a, rel=0.1)


def test_a_fuse_follows_pulses_of_a_second_and_not_those_of_a_millisecond():
    slow, fast = way(0.1, 0.1, 10 * math.sqrt(0.1)), way(0.1, 100.0, 10 * math.sqrt(0.1))
    assert added_to_fuse_a([slow]) == {"on": pytest.approx(10 - 10 * math.sqrt(0.1))}
    assert added_to_fuse_a([fast]) == {}


def test_a_wire_on_for_minutes_carries_the_current_while_on():
    added = added_to_wire_a([way(0.5, 1 / 1200, 10 * math.sqrt(0.5))], ONE, THIN.rated_c)
    assert added["on"] == pytest.approx(10 - 10 * math.sqrt(0.5), rel=1e-3)


def test_without_a_frequency_pulses_are_averaged():
    assert added_to_wire_a([way(0.5, None, 7.0)], ONE, THIN.rated_c) == {}


def test_what_is_lost_on_the_way_is_lost_while_it_is_on():
    slow, fast = way(0.25, 0.25, 5.0).load, way(0.25, 100.0, 5.0).load
    assert added_while_on_a(slow, 5.0) == pytest.approx(5.0)
    assert added_while_on_a(fast, 5.0) == 0.0

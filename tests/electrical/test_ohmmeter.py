"""What an ohmmeter shows on the test vehicles, against sums by hand."""

from __future__ import annotations

import pytest

from buildbook.electrical.network import build_network, network_ohms
from buildbook.electrical.ohmmeter import OPEN_OHMS, ohms_between
from buildbook.electrical.settle import Settler

ALL_FUSES = frozenset(f"fuse:F{n}" for n in range(1, 7))


@pytest.fixture
def settler(motorcycle) -> Settler:
    ohms = network_ohms(motorcycle.solved)
    return Settler(build_network(motorcycle.vehicle, motorcycle.harness, *ohms))


LEAST, MOST = 12.9, 15.0
"""Hot ohms of a filament, of its cold ones: 12.9 read of a 40 W lamp, 15 at 2800 K from memory."""


def parallel(*ohms: float) -> float:
    return 1 / sum(1 / each for each in ohms)


def test_cold_tail_lamp_and_flasher_are_two_resistances_in_parallel(settler):
    # 13.5 V / 0.4 A lit, and a coil of 300 ohm; leads and contacts of some hundredths on top.
    (ohms,) = ohms_between(settler, "off", ALL_FUSES, [("F4.out~", "chassis")])
    assert parallel(33.75 / MOST, 300) < ohms < parallel(33.75 / LEAST, 300) + 0.15


def test_a_held_brake_and_a_pressed_horn_come_in_parallel_too(settler):
    horn, brake = 13.5 / 3.0, 13.5 / 1.6
    (ohms,) = ohms_between(settler, "braking at night", ALL_FUSES, [("F4.out~", "chassis")])
    least = parallel(33.75 / MOST, 300, brake / MOST, horn)
    assert least < ohms < parallel(33.75 / LEAST, 300, brake / LEAST, horn) + 0.15


def test_without_a_battery_a_relay_does_not_close(settler):
    # The indicators hang behind the flasher's contact, which needs its coil fed;
    # two lamps of 13.5 V / 0.8 A, cold.
    (ohms,) = ohms_between(settler, "indicating right", ALL_FUSES, [("flasher.87~", "G2.stud~")])
    assert 13.5 / 0.8 / 2 / MOST < ohms < 13.5 / 0.8 / 2 / LEAST + 0.15
    pairs = [("flasher.30~", "flasher.87~")]
    opened = ALL_FUSES | {"load:indicator-front-right", "load:indicator-rear-right"}
    (across,) = ohms_between(settler, "indicating right", opened, pairs)
    assert across >= OPEN_OHMS


def test_a_pulsed_load_reads_its_own_ohms(settler):
    # A coil of 3 ohm that is on for 30 % of the time is 10 ohm to its average current.
    (ohms,) = ohms_between(settler, "idle", ALL_FUSES, [("coil-1.1~", "coil-1.2~")])
    assert ohms == pytest.approx(3.0, abs=0.1)


def test_a_pump_at_rest_is_its_winding(settler):
    # 10 A as it starts, at 13.5 V: it stands still then. The controller beside it draws nothing
    # without the volts that it works from.
    ends = [("fuel-pump.1~", "fuel-pump.2~")]
    (ohms,) = ohms_between(settler, "ignition on", ALL_FUSES, ends)
    assert ohms == pytest.approx(1.35, rel=0.01)


def test_a_resistance_is_the_same_either_way(settler):
    pairs = [("F4.out~", "chassis"), ("chassis", "F4.out~")]
    one, other = ohms_between(settler, "off", ALL_FUSES, pairs)
    assert one == pytest.approx(other)

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


def test_tail_lamp_and_flasher_are_two_resistances_in_parallel(settler):
    # 13.5 V / 0.4 A and a coil of 300 ohm; leads and contacts of some hundredths come on top.
    (ohms,) = ohms_between(settler, "off", ALL_FUSES, [("F4.out~", "chassis")])
    assert 33.75 * 300 / 333.75 < ohms < 33.75 * 300 / 333.75 + 0.15


def test_a_held_brake_and_a_pressed_horn_come_in_parallel_too(settler):
    by_hand = 1 / (1 / 33.75 + 1 / 300 + 1.6 / 13.5 + 3.0 / 13.5)
    (ohms,) = ohms_between(settler, "braking at night", ALL_FUSES, [("F4.out~", "chassis")])
    assert by_hand < ohms < by_hand + 0.15


def test_without_a_battery_a_relay_does_not_close(settler):
    # The indicators hang behind the flasher's contact, which needs its coil fed;
    # two lamps of 13.5 V / 0.8 A, on for half of the time.
    (ohms,) = ohms_between(settler, "indicating right", ALL_FUSES, [("flasher.87~", "G2.stud~")])
    assert ohms == pytest.approx(13.5 / 0.8 / 2, abs=0.2)
    pairs = [("flasher.30~", "flasher.87~")]
    opened = ALL_FUSES | {"load:indicator-front-right", "load:indicator-rear-right"}
    (across,) = ohms_between(settler, "indicating right", opened, pairs)
    assert across >= OPEN_OHMS


def test_a_pulsed_load_reads_its_own_ohms(settler):
    # A coil of 3 ohm that is on for 30 % of the time is 10 ohm to its average current.
    (ohms,) = ohms_between(settler, "idle", ALL_FUSES, [("coil-1.1~", "coil-1.2~")])
    assert ohms == pytest.approx(3.0, abs=0.1)


def test_a_resistance_is_the_same_either_way(settler):
    pairs = [("F4.out~", "chassis"), ("chassis", "F4.out~")]
    one, other = ohms_between(settler, "off", ALL_FUSES, pairs)
    assert one == pytest.approx(other)

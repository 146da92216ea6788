"""Ends and screens of data buses, and sensors whose two tracks or levels cannot be told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    can_termination,
    screen_ground,
    sensor_level,
    tracks_disagree,
)
from buildbook.electrical.model import PairRow, PairTable, SensorRow, Sensors, SensorTable
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span, exactly
from tests.checks import minimal as m
from tests.checks.bench import about


@pytest.mark.parametrize(("ends", "fires"), [(1, ["bus"]), (2, []), (3, ["bus"])])
def test_can_pair_needs_two_terminations_of_120_ohm(ends, fires):
    nodes = tuple(
        m.device(f"n{i}", "display", "h l", loads=(m.load(f"n{i}", f"n{i}.h", f"n{i}.l", 120),))
        for i in range(ends)
    )
    joined = {side: tuple(f"n{i}.{side[-1]}" for i in range(ends)) for side in ("CAN h", "CAN l")}
    cables = {"bus": {"type": "twisted pair", "cores": list(joined)}}
    assert about(can_termination, m.assessed(m.vehicle(nodes, joined, cables=cables))) == fires


def test_twisted_pair_of_a_scanner_is_no_can():
    nodes = (m.device("a", "display", "h l"),)
    joined = {"scanner h": ("a.h",), "scanner l": ("a.l",)}
    cables = {"pair": {"type": "twisted pair", "cores": list(joined)}}
    assert about(can_termination, m.assessed(m.vehicle(nodes, joined, cables=cables))) == []


@pytest.mark.parametrize(("ends", "fires"), [((), 1), (("a.1",), 0), (("a.1", "b.1"), 1)])
def test_screen_is_grounded_at_one_end(ends, fires):
    devices = (m.device("a", "controller", "1"), m.device("b", "sensor", "1"))
    told = {"screen": {"is_screen": True, "cable": "knock"}}
    assert (
        len(about(screen_ground, m.assessed(m.vehicle(devices, {"screen": ends}, told=told))))
        == fires
    )


def tracks(low, high, wanted=5.0):
    """A throttle of two tracks whose sum lies between two values."""
    row = PairRow("50 %", exactly(2.5), exactly(2.5), Span(low, (low + high) / 2, high))
    pair = PairTable("throttle", ("throttle.1", "throttle.2"), "sum", wanted, 0.05, (row,))
    return replace(
        m.assessed(m.vehicle((m.device("throttle", "motor", "1 2"),))),
        sensors=Sensors(pairs=(pair,)),
    )


@pytest.mark.parametrize(
    ("low", "high", "fires"),
    [(4.76, 5.24, []), (4.74, 5.0, ["throttle"]), (5.0, 5.26, ["throttle"])],
)
def test_tracks_that_tolerances_alone_can_set_apart(low, high, fires):
    """5 V within 5 % is 4.75 to 5.25 V."""
    assert about(tracks_disagree, tracks(low, high)) == fires


def test_a_ratio_over_a_track_that_may_be_zero_is_found():
    assessed = tracks(4.9, 5.1)
    (pair,) = assessed.sensors.pairs
    unknown = replace(pair, rows=(replace(pair.rows[0], together=None),))
    assert about(tracks_disagree, replace(assessed, sensors=Sensors(pairs=(unknown,)))) == [
        "throttle"
    ]


@pytest.mark.parametrize(("level", "fires"), [("low", []), ("between", ["pickup.2"])])
def test_pickup_that_the_controller_cannot_tell(level, fires):
    row = SensorRow("tooth", None, Span(0.2, 1.4, 1.7), level=level)
    table = SensorTable(
        "pickup", "pickup.2", "pickup.3", "ecu.B5", "ecu.B3", "hall", "on", Loop(), (row,)
    )
    assessed = m.assessed(m.vehicle((m.device("pickup", "sensor", "1 2 3"),)))
    assert about(sensor_level, replace(assessed, sensors=Sensors((table,)))) == fires

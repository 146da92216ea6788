"""Fuses, isolator, relays and coils."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    coil_reversed,
    engine_survives,
    fed_twice,
    feed_shorted,
    fuse_shared,
    isolator_bypassed,
    pinned_size,
    relay_idle,
)
from buildbook.sizing.model import Limit
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.rules.test_completeness import BATTERY, LAMP, wired


@pytest.mark.parametrize(
    ("joined", "fires"),
    [(("F1.out", "F2.out", "lamp.1"), ["F1"]), (("F1.out", "lamp.1"), [])],
)
def test_wire_fed_by_two_fuses(joined, fires):
    context = wired((m.fuse("F1"), m.fuse("F2"), LAMP), {"feed": joined})
    assert about(fed_twice, context) == fires


def test_fuse_that_follows_another_feeds_nothing_twice():
    circuits = {"feed": ("F1.out", "F2.in"), "lamp": ("F2.out", "lamp.1")}
    assert about(fed_twice, wired((m.fuse("F1"), m.fuse("F2"), LAMP), circuits)) == []


@pytest.mark.parametrize(("load", "fires"), [(31.0, ["F1"]), (29.0, [])])
def test_fuse_with_three_times_its_current_has_a_feed_on_a_ground(load, fires):
    context = m.context(m.vehicle((m.fuse("F1"),)), sizing_=m.sizing(m.rated("F1", 10, load)))
    assert about(feed_shorted, context) == fires


@pytest.mark.parametrize(("other", "fires"), [("fuel", ["F1"]), ("main", [])])
def test_fuse_shared_by_two_critical_systems(other, fires):
    pump = m.device(
        "pump", "motor", "1 2", written={"critical": "yes"},
        loads=(m.load("pump", "pump.1", "pump.2", 2),),
    )  # fmt: skip
    lamp = replace(LAMP, written=pump.written)
    vehicle = m.vehicle((m.fuse("F1"), replace(pump, system=other), lamp))
    sizing = m.sizing(m.rated("F1", 10, 1, feeds=("pump", "lamp")))
    assert about(fuse_shared, m.context(vehicle, sizing_=sizing)) == fires


def isolated(lamp_feed, alternator="isolator.2", feed="isolator.2"):
    """A battery and a controller with an injector on either side of an isolator."""
    contact = m.switch("isolator.1-2", "isolator.1", "isolator.2")
    isolator = m.device("isolator", "isolator", "1 2", contacts=(contact,))
    machine = m.device("alternator", "alternator", "B+ E")
    power = {"feeds": ["A1"], "grounds": ["A2"]}
    ecu = m.device("ecu", "controller", "A1 A2 A3", written={"power": power})
    injector = m.device("injector", "injector", "1 2")
    circuits = {
        "main": ("battery.+", "isolator.1"),
        "lamp": (lamp_feed, "lamp.1"),
        "charge": ("alternator.B+", alternator),
        "ecu feed": (feed, "ecu.A1"),
        "injector": ("injector.2", "ecu.A3"),
    }
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B+", "alternator.E"],
            "curve": [["900 rpm", "20 A"]],
        },
    }
    fuse = m.fuse("F1")
    return wired((BATTERY, isolator, machine, ecu, injector, LAMP, fuse), circuits, supply=supply)


def test_circuit_ahead_of_the_isolator_stays_live():
    assert about(isolator_bypassed, isolated("battery.+")) == ["lamp"]


def test_circuit_behind_the_isolator_does_not():
    assert about(isolator_bypassed, isolated("isolator.2")) == []


def test_engine_runs_on_where_the_alternator_feeds_the_controller():
    assert about(engine_survives, isolated("isolator.2")) == ["ecu"]
    assert about(engine_survives, isolated("isolator.2", alternator="isolator.1")) == []


@pytest.mark.parametrize(
    ("closed", "fires"), [((), ["K1.30-87"]), (("on",), []), (m.STATES, ["K1.30-87"])]
)
def test_relay_that_closes_in_no_state_or_in_all(closed, fires):
    contact = m.switch("K1.30-87", "K1.30", "K1.87", kind="relay")
    vehicle = m.vehicle((m.device("K1", "relay", "30 87 85 86", contacts=(contact,)),))
    states = [
        replace(m.solution(s), closed=frozenset(["K1.30-87"] if s in closed else ()))
        for s in m.STATES
    ]
    assert about(relay_idle, m.context(vehicle, solved_=m.solved(*states))) == fires


@pytest.mark.parametrize(
    ("volts", "kind", "fires"),
    [(12.0, "diode", ["K1"]), (-12.0, "diode", []), (12.0, "resistor", [])],
)
def test_coil_with_a_diode_fed_the_wrong_way_round(volts, kind, fires):
    relay = m.device("K1", "relay", "30 87 85 86", written={"coil": {"suppressed": kind}})
    solved = m.solved(m.solution("on", {"K1.85~": volts, "K1.86~": 0.0}))
    assert about(coil_reversed, m.context(m.vehicle((relay,)), solved_=solved)) == fires


@pytest.mark.parametrize(("pinned", "fires"), [(True, ["101"]), (False, [])])
def test_size_of_the_author_that_gets_too_hot(pinned, fires):
    vehicle = m.vehicle((BATTERY, LAMP), {"feed": ("battery.+", "lamp.1")})
    heat = Limit("heat", 20.0, 11.0, "A", "2.5 mm2", "here")
    sizing = m.sizing(m.sized("101", pinned=pinned, limits=(heat,)))
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    assert about(pinned_size, m.context(vehicle, m.harness(wires), sizing_=sizing)) == fires

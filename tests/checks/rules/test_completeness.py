"""Loose ends, loads that no current reaches, and what is usual and missing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    caution_missing,
    circuit_to_nowhere,
    draw_missing,
    driver_idle,
    fuse_idle,
    load_dead_in_state,
    load_no_way,
    load_runs_unasked,
    load_twice,
    power_pin_unused,
    pump_no_cut_off,
    usual_missing,
)
from tests.checks import minimal as m
from tests.checks.bench import about
from tests.checks.over_four_vehicles import assessed_with

BATTERY = m.device("battery", "battery", "+ -", "ring-M8")
LAMP = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 10),))


def wired(devices, circuits, told=None, **more):
    """A vehicle in which every circuit of two pins is one wire."""
    vehicle = m.vehicle(devices, circuits, told=told, **more)
    wires = tuple(
        m.wire(f"{n}{k}", name, m.end(pins[0]), m.end(pin))
        for n, (name, pins) in enumerate(circuits.items(), 101)
        for k, pin in zip("abcdefg", pins[1:], strict=False)
    )
    return m.assessed(vehicle, m.harness(wires))


@pytest.mark.parametrize(
    ("feed", "back", "fires"),
    [
        ("battery.+", "battery.-", []),
        ("battery.+", None, ["lamp"]),
        (None, "battery.-", ["lamp"]),
        ("battery.-", "battery.-", ["lamp"]),
        ("battery.+", "battery.+", ["lamp"]),
    ],
)
def test_load_needs_a_feed_and_a_return(feed, back, fires):
    circuits = {
        name: ends
        for name, ends in (("feed", (feed, "lamp.1")), ("back", ("lamp.2", back)))
        if None not in ends
    }
    assert about(load_no_way, wired((BATTERY, LAMP), circuits)) == fires


def test_transmitter_in_a_current_loop_has_a_way_through_the_resistor_that_reads_it():
    meter = m.device("meter", "display", "s g", loads=(m.load("meter", "meter.s", "meter.g", 250),))
    circuits = {
        "feed": ("battery.+", "lamp.1"),
        "signal": ("lamp.2", "meter.s"),
        "ground": ("meter.g", "battery.-"),
    }
    assert about(load_no_way, wired((BATTERY, LAMP, meter), circuits)) == []


def test_lamp_of_two_filaments_of_which_one_is_not_fed():
    both = (m.load("lamp.1", "lamp.1", "lamp.3", 10), m.load("lamp.2", "lamp.2", "lamp.3", 10))
    lamp = m.device("lamp", "lamp", "1 2 3", loads=both)
    circuits = {"feed": ("battery.+", "lamp.1"), "ground": ("lamp.3", "battery.-")}
    assert about(load_no_way, wired((BATTERY, lamp), circuits)) == ["lamp.2"]


def test_two_lamps_that_share_a_return_that_ends_nowhere_both_have_none():
    other = m.device("other", "lamp", "1 2", loads=(m.load("other", "other.1", "other.2", 10),))
    circuits = {"feed": ("battery.+", "lamp.1", "other.1"), "back": ("lamp.2", "other.2")}
    assert about(load_no_way, wired((BATTERY, LAMP, other), circuits)) == ["lamp", "other"]


@pytest.mark.parametrize(
    ("written", "fires"), [({}, ["loose"]), ({"status": "spare", "capped at": "P"}, [])]
)
def test_circuit_of_one_pin_says_where_it_is_capped(written, fires):
    told = {"loose": {"written": written}}
    assert (
        about(circuit_to_nowhere, m.assessed(m.vehicle((LAMP,), {"loose": ("lamp.1",)}, told=told)))
        == fires
    )


@pytest.mark.parametrize(
    ("feeds", "status", "fires"),
    [((), "in use", ["F1"]), (("lamp",), "in use", []), ((), "future", [])],
)
def test_fuse_that_feeds_nothing(feeds, status, fires):
    vehicle = m.vehicle(
        (m.fuse("F1"), LAMP),
        {"feed": ("F1.out", "lamp.1")},
        told={"feed": {"written": {"status": status}}},
    )
    assessed = m.assessed(vehicle, sizing_=m.sizing(m.rated("F1", 10, 1, feeds=feeds)))
    assert about(fuse_idle, assessed) == fires


def car(*names: str):
    kinds = {"horn": "horn", "isolator": "isolator", "wiper": "motor", "washer": "motor"}
    kinds["oil pressure"] = "sensor"
    named = [n.replace(" ", "-") for n in names]
    rest = tuple(
        m.device(n, kinds.get(said, "lamp"), "1 2") for n, said in zip(named, names, strict=True)
    )
    lamps = tuple(m.device(f"headlamp-{s}", "lamp", "1 2") for s in ("left", "right"))
    return m.assessed(m.vehicle((m.device("starter", "starter", "M"), *lamps, *rest)))


REST = ("tail lamp", "isolator", "wiper", "washer", "reverse lamp", "indicator", "oil pressure")


def test_car_without_horn_and_brake_lamp_is_asked_about_them():
    assessed = car(*REST)
    assert about(usual_missing, assessed) == ["horn", "brake lamp"]


def test_hauler_without_headlamps_is_not_asked_for_what_the_road_asks():
    """It has no charge lamp either, and that it may want."""
    assert about(usual_missing, assessed_with(None, "two-batteries")) == ["charge lamp"]


def test_charge_lamp_is_known_by_what_it_is_joined_to():
    """All its names are neutral."""
    assert about(usual_missing, assessed_with(None, "dune-buggy")) == []


def test_car_that_has_the_usual_is_silent_and_so_is_a_bench():
    full = car(*REST, "horn", "brake lamp")
    assert about(usual_missing, full) == []
    assert about(usual_missing, m.assessed(m.vehicle((BATTERY, LAMP)))) == []


def pumped(*extra, feed="battery.+"):
    load = m.load("fuel-pump", "fuel-pump.1", "fuel-pump.2", 2)
    pump = m.device("fuel-pump", "motor", "1 2", loads=(load,))
    circuits = {"feed": (feed, "fuel-pump.1"), "back": ("fuel-pump.2", "battery.-")}
    if extra:
        circuits["first"] = ("battery.+", f"{extra[0].id}.1")
    return wired((BATTERY, pump, *extra), circuits)


def test_pump_straight_off_the_battery_has_no_cut_off():
    assert about(pump_no_cut_off, pumped()) == ["fuel-pump"]


def test_pump_behind_an_inertia_switch_has_one():
    contact = m.switch("inertia-switch.1-2", "inertia-switch.1", "inertia-switch.2")
    inertia = m.device("inertia-switch", "switch", "1 2", contacts=(contact,))
    assert about(pump_no_cut_off, pumped(inertia, feed="inertia-switch.2")) == []


def controller(circuits, **keys):
    power = {"feeds": ["A1"], "grounds": ["A2"]}
    ecu = m.device("ecu", "controller", "A1 A2 A3", written={"power": power, **keys})
    pins = (*ecu.pins[:2], replace(ecu.pins[2], use="power ground", unused=True))
    return m.assessed(m.vehicle((BATTERY, replace(ecu, pins=pins)), circuits))


def test_every_ground_of_a_controller_is_joined_unused_ones_too():
    both = {"feed": ("battery.+", "ecu.A1"), "ground": ("battery.-", "ecu.A2")}
    assert about(power_pin_unused, controller(both)) == ["ecu.A3"]
    assert about(power_pin_unused, controller(both | {"two": ("battery.-", "ecu.A3")})) == []


def test_both_ends_of_a_source_are_joined():
    minus_only = {"feed": ("battery.-", "ecu.A1"), "ground": ("battery.-", "ecu.A2")}
    assert "battery.+" in about(power_pin_unused, controller(minus_only))


@pytest.mark.parametrize(("end", "fires"), [("sensor.1", ["ecu.A3"]), ("lamp.2", [])])
def test_output_of_a_controller_that_works_nothing(end, fires):
    ecu = m.device("ecu", "controller", "A3", written={"drivers": {"A3": {"limit": "1 A"}}})
    vehicle = m.vehicle((ecu, LAMP, m.device("sensor", "sensor", "1")), {"out": ("ecu.A3", end)})
    assert about(driver_idle, m.assessed(vehicle)) == fires


@pytest.mark.parametrize(("ohms", "fires"), [(10, ["lamp-2"]), (12, [])])
def test_load_described_twice(ohms, fires):
    twice = (m.load("lamp", "lamp.1", "lamp.2", 10), m.load("lamp-2", "lamp.1", "lamp.2", ohms))
    vehicle = m.vehicle((m.device("lamp", "lamp", "1 2", loads=twice),))
    assert about(load_twice, m.assessed(vehicle)) == fires


@pytest.mark.parametrize(("keys", "fires"), [({}, ["injector"]), ({"caution": "fuel"}, [])])
def test_injector_without_a_caution(keys, fires):
    vehicle = m.vehicle((m.device("injector", "injector", "1 2", written=keys),))
    assert about(caution_missing, m.assessed(vehicle)) == fires


def night_fan(volts: float, **draw):
    """A fan whose draw says when it blows; in 'on' it has `volts`, while cranking 12 V."""
    load = m.load("fan", "fan.1", "fan.2", 2, states=draw["in"], works_from_v=8.0)
    keys = {"draws": [{"ohms": "2 ohm", **draw}]}
    fan = m.device("fan", "motor", "1 2", loads=(load,), written=keys)
    solved = m.solved(
        m.solution("on", {"fan.1~": volts, "fan.2~": 0.0}),
        m.solution("cranking", {"fan.1~": 12.0, "fan.2~": 0.0}),
    )
    return m.assessed(m.vehicle((fan,)), solved_=solved)


@pytest.mark.parametrize(("volts", "fires"), [(0.0, ["fan"]), (8.1, [])])
def test_load_that_is_dead_in_a_state_that_it_names(volts, fires):
    assert about(load_dead_in_state, night_fan(volts, **{"in": ["on", "cranking"]})) == fires


@pytest.mark.parametrize(
    ("named", "volts", "fires"),
    [(["cranking"], 8.1, ["fan"]), (["cranking"], 7.9, []), (["on", "cranking"], 8.1, [])],
)
def test_load_that_runs_in_a_state_that_it_does_not_name(named, volts, fires):
    assert about(load_runs_unasked, night_fan(volts, **{"in": named})) == fires


def test_load_that_is_dead_in_all_the_states_it_names_is_left_to_another_rule():
    assert about(load_dead_in_state, night_fan(0.0, **{"in": ["on"]})) == []


@pytest.mark.parametrize(
    ("kind", "loads", "joined", "fires"),
    [
        ("lamp", (), True, ["lamp"]),
        ("lamp", (), False, []),
        ("lamp", LAMP.loads, True, []),
        ("switch", (), True, []),
    ],
)
def test_consumer_that_draws_nothing(kind, loads, joined, fires):
    lamp = m.device("lamp", kind, "1 2", loads=loads)
    circuits = {"feed": ("battery.+", "lamp.1")} if joined else {}
    assert about(draw_missing, m.assessed(m.vehicle((BATTERY, lamp), circuits))) == fires

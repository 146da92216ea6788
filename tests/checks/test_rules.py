"""Every rule fires on a vehicle that breaks it and is silent on one that keeps it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import (
    can_termination,
    charging_negative,
    coil_unsuppressed,
    connectors_alike,
    contact_overloaded,
    cranking_voltage,
    drop_above_allowance,
    feed_unfused,
    fuse_above_wire,
    fuse_below_load,
    load_never_works,
    not_selective,
    part_missing,
    pass_through_hole,
    pin_undeclared,
    price_missing,
    price_old,
    screen_ground,
    sensor_level,
    splice_in_moving,
    terminal_overloaded,
    too_hot,
    tracks_disagree,
    unsealed_in_wet,
)
from buildbook.checks.run import run_checks
from buildbook.checks.waivers import names_of
from buildbook.electrical.model import Branch, PairRow, PairTable, SensorRow, Sensors, SensorTable
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span, exactly
from buildbook.harness.model import Splice
from buildbook.sizing.model import Limit, Selectivity
from buildbook.vehicle.model import Bond, Contact, PassThrough
from tests.checks import minimal as m
from tests.checks.bench import about

BATTERY = m.device("battery", "battery", "+ -", "ring-M8")


def fed_lamp(via: tuple[str, str]):
    """A lamp fed from the battery by two wires, through a device between them."""
    middle = m.fuse("F1") if via[0].startswith("F1") else m.device("bus", "load", "a b")
    if middle.id == "bus":
        middle = replace(middle, bonds=(Bond("x", "bus", "bus.a", "bus.b", 0.001, "bus"),))
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    vehicle = m.vehicle(
        (BATTERY, middle, lamp), {"in": ("battery.+", via[0]), "out": (via[1], "lamp.1")}
    )
    wires = (
        m.wire("101", "in", m.end("battery.+"), m.end(via[0])),
        m.wire("102", "out", m.end(via[1]), m.end("lamp.1")),
    )
    return m.assessed(vehicle, m.harness(wires))


def test_wire_past_a_bus_bar_without_a_fuse_is_an_error():
    found = {f.about: f.severity for f in feed_unfused.check(fed_lamp(("bus.a", "bus.b")))}
    assert found == {"101": "error", "102": "error"}


def test_wire_behind_a_fuse_is_silent_and_the_one_to_it_is_a_note():
    found = {f.about: f.severity for f in feed_unfused.check(fed_lamp(("F1.in", "F1.out")))}
    assert found == {"101": "note"}


@pytest.mark.parametrize(("inverted", "says"), [(False, True), (True, False)])
def test_wire_past_a_make_contact_is_live_only_while_it_is_pulled_in(inverted, says):
    contact = Contact(
        "K1", "bus", "bus.a", "bus.b", frozenset(), ("bus.c", "bus.d"), 6.0, inverted, kind="relay"
    )
    fed = fed_lamp(("bus.a", "bus.b"))
    relay = replace(fed.vehicle.devices["bus"], kind="relay", bonds=(), contacts=(contact,))
    vehicle = replace(fed.vehicle, devices={**fed.vehicle.devices, "bus": relay})
    found = {f.about: f.text for f in feed_unfused.check(replace(fed, vehicle=vehicle))}
    assert "pulled in" not in found["101"]
    assert ("pulled in" in found["102"]) is says


@pytest.mark.parametrize(("rating", "fires"), [(15, True), (10, False)])
def test_fuse_above_its_weakest_wire(rating, fires):
    sizing = m.sizing(m.rated("F1", rating, 5, weakest_a=11.0))
    found = about(fuse_above_wire, m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing))
    assert found == (["F1"] if fires else [])


@pytest.mark.parametrize(("load", "severity"), [(7.4, []), (7.6, ["warning"]), (10.1, ["error"])])
def test_10_a_fuse_carries_7_5_a_for_long(load, severity):
    # Three quarters of the rating: common practice, no source (fuses.yaml, continuous_load).
    sizing = m.sizing(m.rated("F1", 10, load))
    assessed = m.assessed(m.vehicle((m.fuse("F1"),)), sizing_=sizing)
    assert [f.severity for f in fuse_below_load.check(assessed)] == severity


@pytest.mark.parametrize(("holds", "fires"), [(False, True), (True, False)])
def test_fuse_that_may_open_with_the_one_below_it(holds, fires):
    pair = Selectivity("F1", "F2", holds, 60.0, 0.5, 0.2)
    sizing = m.sizing(m.rated("F1", 20, 5, selective=(pair,)), m.rated("F2", 15, 5))
    vehicle = m.vehicle((m.fuse("F1"), m.fuse("F2")))
    assert about(not_selective, m.assessed(vehicle, sizing_=sizing)) == (["F2"] if fires else [])


def test_opening_times_are_written_out():
    pair = Selectivity("F1", "F2", False, 60.0, 600.0, 0.021)
    sizing = m.sizing(m.rated("F1", 20, 5, selective=(pair,)), m.rated("F2", 15, 5))
    vehicle = m.vehicle((m.fuse("F1"), m.fuse("F2")))
    (found,) = not_selective.check(m.assessed(vehicle, sizing_=sizing))
    assert "may take 600 s, F1 may open after 0.021 s" in found.text


def lamp_at(volts: float, critical: bool = False, **told):
    lamp = m.device(
        "lamp",
        "lamp",
        "1 2",
        written={"critical": critical},
        loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4, states=("on",)),),
    )
    vehicle = m.vehicle(
        (BATTERY, lamp),
        {"feed": ("battery.+", "lamp.1"), "back": ("lamp.2", "battery.-")},
        told=told,
    )
    branches = (
        Branch("wire:101", "wire", "101", "battery.+~", "lamp.1~", 0.1),
        Branch("wire:102", "wire", "102", "lamp.2~", "battery.-~", 0.1),
        Branch("load:lamp", "load", "lamp", "lamp.1~", "lamp.2~", 2.4),
    )
    half = (12.0 - volts) / 2
    at = {"battery.+~": 12.0, "lamp.1~": 12.0 - half, "lamp.2~": half, "battery.-~": 0.0}
    wires = (m.wire("101", "feed", m.end("battery.+"), m.end("lamp.1")),)
    sizing = m.sizing(m.sized("101", limits=(m.unmet_drop(),)))
    solved = m.solved(m.solution("on", at, branches=branches))
    return m.assessed(vehicle, m.harness(wires), solved, sizing)


def test_drop_of_0_40_v_is_above_three_per_cent_of_12_v():
    (found,) = drop_above_allowance.check(lamp_at(11.60))
    assert (found.about, found.severity) == ("lamp", "warning")
    assert "0.40 V" in found.text and "0.36 V" in found.text and "101" in found.remedy


def test_drop_just_above_its_allowance_does_not_read_as_equal_to_it():
    (found,) = drop_above_allowance.check(lamp_at(11.637))
    assert "0.363 V" in found.text and "0.360 V is allowed" in found.text


def test_drop_of_0_30_v_is_silent_unless_critical():
    assert about(drop_above_allowance, lamp_at(11.70)) == []
    assert about(drop_above_allowance, lamp_at(11.70, critical=True)) == ["lamp"]


def test_drop_of_a_signal_is_not_judged():
    assert about(drop_above_allowance, lamp_at(9.0, feed={"written": {"signal": True}})) == []


def while_cranking(volts: float):
    """A lamp and a starter at 12 V and one state, 'cranking', in which each has `volts` left."""
    starter = m.device(
        "starter",
        "starter",
        "1 2",
        loads=(m.load("starter", "starter.1", "starter.2", 0.06, states=("cranking",)),),
    )
    lamp = m.device("lamp", "lamp", "1 2", loads=(m.load("lamp", "lamp.1", "lamp.2", 2.4),))
    vehicle = m.vehicle(
        (BATTERY, starter, lamp),
        {
            "feed": ("battery.+", "lamp.1", "starter.1"),
            "back": ("lamp.2", "starter.2", "battery.-"),
        },
    )
    at = {"battery.+~": 12.0, "battery.-~": 0.0}
    branches = []
    for name in ("lamp", "starter"):
        at |= {f"{name}.1~": 12.0, f"{name}.2~": 12.0 - volts}
        branches += [
            Branch(f"wire:{name}+", "wire", f"{name}+", "battery.+~", f"{name}.1~", 0.001),
            Branch(f"wire:{name}-", "wire", f"{name}-", f"{name}.2~", "battery.-~", 0.001),
        ]
    solution = m.solution("cranking", at, branches=tuple(branches))
    return m.assessed(vehicle, solved_=m.solved(solution))


@pytest.mark.parametrize(
    ("volts", "fires"),
    [
        (11.50, []),  # 0.50 V are above a lamp's 0.36 V
        (11.29, []),  # 0.71 V: the starter may lose twice 3 % of 12 V, 0.72 V
        (11.27, ["starter"]),
        (8.0, ["starter"]),
    ],
)
def test_only_the_starter_is_judged_while_it_turns(volts, fires):
    assert about(drop_above_allowance, while_cranking(volts)) == fires


@pytest.mark.parametrize(("amps", "fires"), [(5.1, True), (5.0, False)])
def test_switch_above_its_limit(amps, fires):
    contact = m.switch("S1.1-2", "S1.1", "S1.2", limit_a=5.0)
    vehicle = m.vehicle((m.device("S1", "switch", "1 2", contacts=(contact,)),))
    solved = m.solved(m.solution("on", amps={"contact:S1.1-2": -amps}))
    found = about(contact_overloaded, m.assessed(vehicle, solved_=solved))
    assert found == (["S1.1-2"] if fires else [])


@pytest.mark.parametrize(("through", "fires"), [(0.5, ["ecu.B1"]), (2200.0, [])])
def test_sensor_supply_is_judged_and_a_pull_up_is_not(through, fires):
    out = m.source("ecu.B1", "ecu.B1", "ecu.G", volts=5.0, ohms=through, limit_a=0.1)
    vehicle = m.vehicle((m.device("ecu", "controller", "B1 G", sources=(out,)),))
    solved = m.solved(m.solution("on", amps={"source:ecu.B1": 0.2}))
    assert about(contact_overloaded, m.assessed(vehicle, solved_=solved)) == fires


@pytest.mark.parametrize(("amps", "fires"), [(12.5, ["a.1"]), (11.9, [])])
def test_1_5_mm_pin_carries_12_a(amps, fires):
    devices = (m.device("a", "load", "1", "pin-1.5"), m.device("b", "load", "1", "ring-M8"))
    vehicle = m.vehicle(devices, {"feed": ("a.1", "b.1")})
    ends = m.end("a.1", contact="pin-1.5"), m.end("b.1", contact="ring-M8")
    solved = m.solved(m.solution("on", amps={"wire:101": amps}))
    assessed = m.assessed(vehicle, m.harness((m.wire("101", "feed", *ends),)), solved)
    assert about(terminal_overloaded, assessed) == fires


@pytest.mark.parametrize(
    ("label", "area", "fires"),
    # A size 16 contact takes AWG 16 (1.31 mm2) at most and AWG 20 (0.52 mm2) at least.
    [("1.5 mm2", 1.5, ["X1.8/a"]), ("1 mm2", 1.0, []), ("0.35 mm2", 0.35, ["X1.8/a"])],
)
def test_wire_that_does_not_fit_its_contact(label, area, fires):
    vehicle = m.vehicle((m.device("b", "load", "1", "ring-M8"),), {"feed": ("b.1", "b.1")})
    ends = m.end("X1.8/a", contact="size-16"), m.end("b.1", contact="ring-M8")
    harness = m.harness((m.wire("101", "feed", *ends),))
    sized = m.sized("101", label, area_mm2=area)
    assessed = m.assessed(vehicle, harness, m.solved(m.solution("on")), m.sizing(sized))
    assert about(terminal_overloaded, assessed) == fires


@pytest.mark.parametrize(("volts", "fires"), [(5.9, ["ecu"]), (6.1, [])])
def test_controller_below_its_works_from_while_cranking(volts, fires):
    starter = m.device(
        "starter",
        "starter",
        "M G",
        loads=(m.load("starter", "M", "G", 0.05, states=("cranking",)),),
    )
    power = {"feeds": "A1", "grounds": "A2", "works from": "6 V"}
    ecu = m.device("ecu", "controller", "A1 A2", written={"power": power})
    solved = m.solved(
        m.solution("cranking", {"ecu.A1~": volts + 0.4, "ecu.A2~": 0.4}),
        m.solution("on", {"ecu.A1~": 3.0}),
    )
    assert about(cranking_voltage, m.assessed(m.vehicle((starter, ecu)), solved_=solved)) == fires


@pytest.mark.parametrize(("idle_a", "fires"), [(-10.0, ["alternator"]), (-2.0, [])])
def test_charging_balance_weighs_states_by_their_share(idle_a, fires):
    # 0.4 of the day at 5 A charge and 0.6 at the idle current: -4.0 A and +0.8 A.
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.G"],
            "curve": [["1000 rpm", "20 A"]],
        },
    }
    states = {"off": {}, "on": {"share": "40 %"}, "cranking": {"share": "60 %"}}
    vehicle = m.vehicle(
        (m.device("alternator", "alternator", "B G"),), supply=supply, states=states
    )
    solved = m.solved(m.solution("on", charging_a=5.0), m.solution("cranking", charging_a=idle_a))
    assert about(charging_negative, m.assessed(vehicle, solved_=solved)) == fires


@pytest.mark.parametrize(("share", "severity"), [("9 %", "note"), ("11 %", "warning")])
def test_running_state_that_drains_the_battery_is_a_warning_where_it_lasts(share, severity):
    supply = {
        "battery": {"between": ["battery.+", "battery.-"]},
        "alternator": {
            "between": ["alternator.B", "alternator.G"],
            "curve": [["1000 rpm", "20 A"]],
        },
    }
    on = {"engine": "1500 rpm", "share": share}
    states = {"off": {}, "on": on, "cranking": {"share": "50 %"}}
    vehicle = m.vehicle(
        (m.device("alternator", "alternator", "B G"),), supply=supply, states=states
    )
    solved = m.solved(
        m.solution("on", charging_a=-3.0),
        m.solution("off", charging_a=-1.0),
        m.solution("cranking", charging_a=5.0),
    )
    found = list(charging_negative.check(m.assessed(vehicle, solved_=solved)))
    assert [(f.about, f.severity) for f in found] == [("on", severity)]


@pytest.mark.parametrize(("volts", "fires"), [(5.0, ["lamp"]), (11.0, [])])
def test_load_that_never_gets_half_its_voltage(volts, fires):
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4, rated_a=5.0)
    vehicle = m.vehicle((m.device("lamp", "lamp", "1 2", loads=(load,)),))
    solved = m.solved(m.solution("on", {"lamp.1~": volts, "lamp.2~": 0.0}))
    assert about(load_never_works, m.assessed(vehicle, solved_=solved)) == fires


def test_load_that_is_not_fitted_yet_is_not_judged():
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4, rated_a=5.0)
    lamp = m.device("lamp", "lamp", "1 2", loads=(load,), written={"fitted": "later"})
    assert about(load_never_works, m.assessed(m.vehicle((lamp,)))) == []


@pytest.mark.parametrize(("across", "fires"), [("none", ["K1.coil"]), ("diode", [])])
def test_relay_coil_without_diode_or_resistor(across, fires):
    coil = m.load("K1.coil", "K1.86", "K1.85", 90)
    relay = m.device(
        "K1", "relay", "85 86", loads=(coil,), written={"coil": {"suppressed": across}}
    )
    assert about(coil_unsuppressed, m.assessed(m.vehicle((relay,)))) == fires


@pytest.mark.parametrize(("safe", "fires"), [(False, ["valve"]), (True, [])])
def test_solenoid_on_a_driver_that_does_not_take_up_its_spike(safe, fires):
    valve = m.device("valve", "solenoid", "1 2", loads=(m.load("valve", "valve.1", "valve.2", 10),))
    drivers = {"drivers": {"A5": {"limit": "2 A", "suppressed": safe}}}
    contact = m.switch("ecu.A5", "ecu.A5", "ecu.A2", kind="driver")
    ecu = m.device("ecu", "controller", "A2 A5", contacts=(contact,), written=drivers)
    vehicle = m.vehicle((valve, ecu), {"valve output": ("valve.2", "ecu.A5")})
    assert about(coil_unsuppressed, m.assessed(vehicle)) == fires


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


HOT = {
    "cabin": {"ambient": "40 degC"},
    "exhaust": {"ambient": "120 degC", "wet": True, "moving": True},
}


def in_zone(zone: str, **plug):
    vehicle = m.vehicle(
        (m.device("a", "sensor", "1"), m.device("b", "sensor", "1")),
        {"feed": ("a.1", "b.1")},
        (m.run("r1", "P", "Q", zone=zone),),
        zones=HOT,
    )
    wire = m.wire("101", "feed", m.end("a.1", connector="a"), m.end("S101", "splice"), runs=("r1",))
    harness = m.harness(
        (wire,), (Splice("S101", "feed", "h", "P", 0, ("101",)),), (m.connector("a", **plug),)
    )
    return m.assessed(vehicle, harness, sizing_=m.sizing(m.sized("101")))


def test_connector_and_wire_of_105_and_100_degrees_in_a_zone_of_120():
    assert about(too_hot, in_zone("exhaust")) == ["a", "101"]
    assert about(too_hot, in_zone("exhaust", temperature="125 degC")) == ["101"]
    assert about(too_hot, in_zone("cabin")) == []


def test_unsealed_connector_in_a_wet_zone():
    assert about(unsealed_in_wet, in_zone("exhaust")) == ["a"]
    assert about(unsealed_in_wet, in_zone("exhaust", sealed=True)) == []
    assert about(unsealed_in_wet, in_zone("cabin")) == []


def test_splice_where_the_harness_moves():
    assert about(splice_in_moving, in_zone("exhaust")) == ["S101"]
    assert about(splice_in_moving, in_zone("cabin")) == []


@pytest.mark.parametrize(
    ("apart_m", "type_", "uses", "fires"),
    [
        (0.2, "two", "feed", ["a"]),
        (0.4, "two", "feed", []),
        (0.2, "three", "feed", []),
        (0.2, "two", "signal", []),
    ],
)
def test_like_connectors_within_reach_and_pinned_differently(apart_m, type_, uses, fires):
    devices = (m.device("a", "sensor", "1"), m.device("b", "sensor", "1"))
    vehicle = m.vehicle(devices, runs=(m.run("r1", "P", "Q", apart_m),))
    plugs = (
        m.connector("a", "two", "P", (m.pin("a", "1", cavity="1", use="signal"),)),
        m.connector("b", type_, "Q", (m.pin("b", "1", cavity="1", use=uses),)),
    )
    assert about(connectors_alike, m.assessed(vehicle, m.harness(connectors=plugs))) == fires


def test_pin_that_is_neither_joined_nor_declared_unused():
    sensor = m.device("a", "sensor", "1 2 3")
    sensor = replace(sensor, pins=(*sensor.pins[:2], replace(sensor.pins[2], unused=True)))
    assert about(pin_undeclared, m.assessed(m.vehicle((sensor,), {"x": ("a.1",)}))) == ["a.2"]
    assert about(pin_undeclared, m.assessed(m.vehicle((sensor,), {"x": ("a.1", "a.2")}))) == []


def test_pin_of_a_fuse_is_not_said_to_be_of_what_the_fuse_feeds():
    fuse = replace(m.fuse("F17"), title="Wiper")
    (found,) = pin_undeclared.check(m.assessed(m.vehicle((fuse,), {"x": ("F17.in",)})))
    assert found.text == "Pin F17.out of fuse F17 (Wiper) is joined to nothing."


def test_needs_without_a_price_are_listed():
    assert about(price_missing, m.assessed(m.vehicle(), unpriced=("tie",))) == ["tie"]
    assert about(price_missing, m.assessed(m.vehicle())) == []


def test_needs_that_no_part_serves_are_told_apart_from_those_without_a_price():
    assessed = replace(
        m.assessed(m.vehicle(parts={"P1": {"what": "Lamp"}}), unpriced=("tie",)),
        unserved=(("tie", "none"),),
    )
    assert about(part_missing, assessed) == ["tie"]


def test_need_that_no_part_serves_has_no_price_either():
    assessed = replace(m.assessed(m.vehicle(), unpriced=("tie",)), unserved=(("tie", "none"),))
    assert about(price_missing, assessed) == []


def test_vehicle_without_any_parts_is_told_so_once():
    needs = (("tie", "none"), ("lug", "none"))
    assert about(part_missing, replace(m.assessed(m.vehicle()), unserved=needs)) == ["parts"]


@pytest.mark.parametrize(
    ("dated", "fires"), [("2025-02-27", ["tie"]), ("2025-03-02", []), (None, ["tie"])]
)
def test_price_older_than_a_year(dated, fires):
    parts = {"tie": {"what": "Tie", "price": "1", "dated": dated}}
    assert about(price_old, m.assessed(m.vehicle(parts=parts))) == fires


def run_with(*waivers):
    sizing = m.sizing(m.rated("F1", 15, 5, weakest_a=11.0))
    vehicle = m.vehicle((m.fuse("F1"),), {"x": ("F1.in", "F1.out")}, waivers=list(waivers))
    vehicle = replace(
        vehicle,
        devices={**vehicle.devices, "battery": BATTERY},
        pins={**vehicle.pins, **{p.id: p for p in BATTERY.pins}},
    )
    return run_checks(m.assessed(vehicle, sizing_=sizing, unpriced=("tie",)))


def test_waiver_gives_its_reason_to_the_finding_it_names():
    waiver = {"rule": "fuse-above-wire", "about": "F1", "because": "short link"}
    found = {(f.rule, f.about): f.waived for f in run_with(waiver)}
    assert found["fuse-above-wire", "F1"] == "short link"
    assert found["price-missing", "tie"] == ""


def test_waiver_that_matches_nothing_is_a_note():
    waiver = {"rule": "fuse-above-wire", "about": "F9", "because": "typing"}
    assert ("waiver-unused", "F9") in {(f.rule, f.about) for f in run_with(waiver)}


@pytest.mark.parametrize("about", ["101", "lamp feed", "F1.out", "lamp.1"])
def test_waiver_of_a_wire_names_its_circuit_or_a_pin_at_its_end(about):
    """The number is the next circuit's as soon as one is put before it."""
    size = Limit("heat", 20.0, 11.0, "A", "2.5 mm2", "here")
    waiver = {"rule": "pinned-too-small", "about": about, "because": "it is short"}
    lamp = m.device("lamp", "lamp", "1 2")
    vehicle = m.vehicle(
        (BATTERY, m.fuse("F1"), lamp), {"lamp feed": ("F1.out", "lamp.1")}, waivers=[waiver]
    )
    wire = m.wire("101", "lamp feed", m.end("F1.out"), m.end("lamp.1"))
    sizing = m.sizing(m.sized("101", pinned=True, limits=(size,)), m.rated("F1", 10, 5))
    found = run_checks(m.assessed(vehicle, m.harness((wire,)), sizing_=sizing))
    (mine,) = [f for f in found if f.rule == "pinned-too-small"]
    assert mine.about == "101" and mine.waived == "it is short"
    assert "waiver-unused" not in {f.rule for f in found}


def test_waiver_of_another_pin_leaves_the_finding():
    assert names_of(m.assessed(m.vehicle()), "101") == ("101",)


def test_waiver_of_a_splice_names_its_circuit():
    splice = Splice("S101", "feed", "h", "P", 0.0, ())
    assert names_of(m.assessed(m.vehicle(), m.harness(splices=(splice,))), "S101") == (
        "S101",
        "feed",
    )


def test_waiver_of_a_pass_through_contact_names_its_circuit():
    wire = m.wire("101", "feed", m.end("X1.5/a", "half"), m.end("lamp.1"))
    assessed = m.assessed(m.vehicle(), m.harness((wire,)))
    assert names_of(assessed, "X1.5/a") == ("X1.5/a", "feed")
    assert names_of(assessed, "101") == ("101", "feed", "lamp.1")


def test_errors_come_before_notes():
    severities = [f.severity for f in run_with()]
    assert severities.index("error") < severities.index("note")


@pytest.mark.parametrize(
    ("cut_mm", "says"),
    [(44, ""), (44.5, ""), (43.5, "error"), (47, "warning"), (None, "")],
)
def test_a_hole_is_cut_to_the_connector(cut_mm, says):
    plug = m.plug(rows=[["1"]], hole="44 mm", shell="36 mm")
    through = PassThrough(
        "X1",
        "P",
        ("h", "k"),
        "gate",
        plug,
        {},
        False,
        m.HERE,
        hole_m=None if cut_mm is None else cut_mm / 1000,
    )
    assessed = m.assessed(replace(m.vehicle(), pass_throughs=(through,)))
    assert [f.severity for f in pass_through_hole.check(assessed)] == ([says] if says else [])


def test_a_shell_wider_than_its_hole_is_told():
    plug = m.plug(rows=[["1"]], hole="30 mm", shell="36 mm")
    through = PassThrough("X1", "P", ("h", "k"), "gate", plug, {}, False, m.HERE)
    assessed = m.assessed(replace(m.vehicle(), pass_throughs=(through,)))
    assert about(pass_through_hole, assessed) == ["X1"]


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

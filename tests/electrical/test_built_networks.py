"""Descriptions turned into branches, laws and supply reports: what is written, where it comes."""

from __future__ import annotations

import pytest

from buildbook.description.quantities import Measured
from buildbook.electrical.faults import bridged
from buildbook.electrical.laws.motor import motor
from buildbook.electrical.laws.of_load import law_of
from buildbook.electrical.model import Solved
from buildbook.electrical.network import build_network, network_ohms, with_ohms
from buildbook.electrical.sensors import reading
from buildbook.electrical.supply import demand_a, supply_report
from buildbook.vehicle.model import Behaviour, Load
from tests.electrical.networks import element, network
from tests.electrical.sensor_bench import WIRE_OHM, bench
from tests.electrical.test_sensor_loops import signal_of


def built(at):
    return build_network(at.vehicle, at.harness, *network_ohms(at.solved))


def elements_of(at):
    return {e.branch.id: e for e in built(at).elements}


def test_a_driver_and_what_it_pulses_keep_their_duty_and_their_beat():
    beating = bench(("duty: 40 %,", "duty: 40 %, frequency: 7 Hz,"))
    found = elements_of(beating)
    (driver,) = (e for name, e in found.items() if name.startswith("contact:ecu"))
    (valve,) = (e for name, e in found.items() if name.startswith("load:valve"))
    assert (driver.duty, driver.frequency_hz) == (0.4, 7.0)
    assert driver.states == {"turning"}
    assert (valve.duty, valve.pulsed_by) == (1.0, driver.branch.id)
    assert driver.branch.ohms == 0.1
    assert not driver.either_way and not driver.one_way and driver.holds_v is None


def test_a_wire_of_a_bench_is_a_wire_and_a_contact_a_pin():
    at = bench()
    found = elements_of(at)
    wires = [e.branch for e in found.values() if e.branch.kind == "wire"]
    assert len(wires) == len(at.harness.wires)
    assert {b.ohms for b in wires} == {WIRE_OHM}
    pin = found["pin:ecu.5"].branch
    assert (pin.kind, pin.ref, pin.a, pin.b, pin.ohms) == ("pin", "ecu.5", "ecu.5", "ecu.5~", 0.006)
    assert "pin:ecu.17" not in found, "nothing comes to it"


def test_a_passive_load_conducts_in_every_state_and_electronics_when_meant():
    found = elements_of(bench())
    names = {n.partition(":")[2].partition(".")[0] for n, e in found.items() if "off" in e.states}
    assert {"temperature", "gauge", "sender", "valve"} <= names


def test_a_source_of_a_controller_is_there_while_its_feed_is():
    at = bench()
    supplies = [e for e in elements_of(at).values() if e.branch.volts == 5.0 and e.branch.ohms == 1]
    (supply,) = supplies
    assert (supply.branch.a, supply.branch.b) == ("ecu.4~", "ecu.3~")
    assert supply.control == ("ecu.1~", "ecu.2~")
    assert supply.control_v == 6.0
    assert at.solved.meter["off"].volts["ecu.4~"] == pytest.approx(0.0, abs=1e-6)


def test_other_wires_and_fuses_leave_all_else_as_it_was():
    at = bench()
    net = built(at)
    wire = next(e.branch for e in net.elements if e.branch.kind == "wire")
    fuse = next(e.branch for e in net.elements if e.branch.kind == "fuse")
    changed = with_ohms(net, {wire.ref: 7.0}, {fuse.ref: 0.0})
    now = {e.branch.id: e.branch.ohms for e in changed.elements}
    before = {e.branch.id: e.branch.ohms for e in net.elements}
    assert now.pop(wire.id) == 7.0 and now.pop(fuse.id) == 1e-6
    assert now == {name: before[name] for name in now}


def test_a_tap_of_a_converter_and_two_batteries_are_named_by_their_posts(two_batteries):
    at = two_batteries
    net = build_network(at.vehicle, at.harness, *network_ohms(at.solved))
    posts = {s.id: (s.plus, s.minus) for s in net.sources}
    assert posts == {
        "lower": ("lower.+~", "lower.-~"),
        "upper": ("upper.+~", "upper.-~"),
        "alternator": ("alternator.B+~", "alternator.B-~"),
    }
    assert net.reference == "lower.-~"
    assert all(s.fed_by is None and s.efficiency == 1 and not s.senses for s in net.sources)


def test_a_bridge_has_the_name_and_ends_that_it_was_given():
    net = network(element("r", "wire", "plus", "zero", 1.0))
    bridge = bridged(net, {"short:a:b": ("plus", "zero", 0.01)}).elements[-1]
    branch = bridge.branch
    assert (branch.id, branch.kind, branch.ref) == ("short:a:b", "short", "a:b")
    assert (branch.a, branch.b, branch.ohms) == ("plus", "zero", 0.01)
    assert bridge.states == frozenset()


def test_a_wire_that_no_state_loads_carries_nothing():
    assert Solved({}, {}).wire_current("1") == (0.0, "")


def test_a_motor_that_would_stall_at_less_than_it_runs_on_is_a_resistance():
    """Volts over the current that it runs on, a thousandth less: it stands, and takes V / R."""
    standing = motor(12.0, 10.0, stall_a=2.0)
    assert standing.ohms == pytest.approx(1.2, rel=2e-3)
    assert motor(12.0, 10.0, stall_a=40.0).ohms == pytest.approx(0.3)
    assert motor(12.0, 10.0).ohms == pytest.approx(12 / 50), "five running currents"


@pytest.mark.parametrize(("turns", "steady"), [("fan", 0.1), ("pump", 0.7), ("", 0.5)])
def test_the_law_of_a_motor_has_its_sheets_stall_and_what_it_turns(turns, steady):
    sheet = Behaviour("motor", 12.0, 5.0, stall_a=30.0, turns=turns)
    law = law_of(Load("l", "d", "d.1", "d.2", 2.4, 1.0, frozenset(), 6.0, behaviour=sheet))
    assert (law.rated_v, law.rated_a, law.steady) == (12.0, 5.0, steady)
    assert law.ohms == pytest.approx(0.4)


def test_a_transmitter_needs_what_it_works_from_and_a_filament_its_cold_ohms():
    more = ("l", "d", "d.1", "d.2", 2.4, 1.0, frozenset(), 8.0)
    sender = law_of(Load(*more, behaviour=Behaviour("transmitter", 12.0, 0.004)))
    assert (sender.amps, sender.needs_v) == (0.004, 8.0)
    lamp = law_of(Load(*more, behaviour=Behaviour("filament", 12.0, 5.0, cold_ohm=0.3)))
    assert (lamp.rated_v, lamp.rated_a, lamp.cold_ohm) == (12.0, 5.0, 0.3)
    assert law_of(Load(*more)) is None


def test_a_sensor_colder_than_can_be_is_refused_in_words():
    at = bench()
    with pytest.raises(ValueError, match="-300 degC is below absolute zero"):
        written = signal_of(at, "temperature.1").written
        reading(written, Measured(-300.0, "degC"), at.table("temperature.1").loop)
    with pytest.raises(ValueError, match="no reading at a value"):
        written = signal_of(at, "pickup.2").written
        reading(written, Measured(20.0, "degC"), at.table("pickup.2").loop)


def peukert_h(capacity_ah, amps, share):
    """20 h rating, exponent 1.2: t = 20 (C / (20 I))^1.2; slower than rated it is C / I."""
    slow = capacity_ah / amps
    return share * (slow if slow >= 20 else 20 * (capacity_ah / amps / 20) ** 1.2)


def test_how_long_the_benchs_battery_lasts_by_peukert():
    at = bench()
    report = supply_report(at.vehicle, at.solved, at.readings)
    for balance in report.balances:
        amps = -at.solved.meter[balance.state].current_a.get("battery", 0.0)
        if balance.state == "off":
            continue
        assert amps > 0.5
        assert balance.charging_a == pytest.approx(-amps)
        assert balance.flat_h == pytest.approx(peukert_h(40, amps, 1.0), rel=1e-6)
        assert balance.last_start_h == pytest.approx(peukert_h(40, amps, 0.5), rel=1e-6)
        assert balance.recharge_h is None
        (one,) = balance.batteries
        assert (one.battery, one.flat_h) == ("battery", balance.flat_h)
        assert one.last_start_h == balance.last_start_h
        assert balance.demand_a == pytest.approx(amps)
        assert balance.battery_v == pytest.approx(12.6 - 0.005 * amps, rel=1e-6)
        assert (balance.alternator_a, balance.limit_a) == (0.0, 0.0)
    rpm = {b.state: b.engine_rpm for b in report.balances}
    assert rpm == {"off": 0, "standing": 0, "braking": 0, "turning": 1000}


def test_the_bench_loses_in_a_day_what_its_states_take_by_their_shares():
    at = bench()
    report = supply_report(at.vehicle, at.solved, at.readings)
    took = {s: at.solved.meter[s].current_a["battery"] for s in ("standing", "braking", "turning")}
    by_hand = 0.5 * took["standing"] + 0.25 * took["braking"] + 0.25 * took["turning"]
    assert report.day_a == pytest.approx(by_hand, rel=1e-6)
    assert report.cranking == ()


def test_what_is_spare_while_hauling_fills_half_of_the_batteries_again(two_batteries):
    """45 Ah at 85 %, with no more than a quarter of 90 Ah an hour, and no more than is spare."""
    rows = {b.state: b for b in two_batteries.supply.balances}
    running = rows["running"]
    assert running.spare_a > 22.5
    assert running.recharge_h == pytest.approx(45 / (22.5 * 0.85))
    assert running.spare_a == running.limit_a - running.demand_a
    assert rows["off"].recharge_h is None
    assert (
        demand_a(two_batteries.vehicle, two_batteries.solved.meter["running"]) == running.demand_a
    )


def test_cranking_tells_the_whole_string_of_batteries(two_batteries):
    """Two of 12.6 V in a row behind 5 milliohm each: what is lost is 10 milliohm times the current,
    and in the link between them; the volts at the outer posts are the rest."""
    (crank,) = two_batteries.supply.cranking
    assert crank.state == "cranking"
    assert crank.emf_v == pytest.approx(25.2)
    assert crank.battery_v == pytest.approx(crank.emf_v - crank.inside_v)
    volts = two_batteries.solved.meter["cranking"].volts
    link_v = volts["lower.+~"] - volts["upper.-~"]
    assert link_v > 0
    assert crank.inside_v - link_v == pytest.approx(0.010 * crank.battery_a, rel=0.01)
    (starter,) = crank.starters
    assert (starter.device, starter.works_from_v) == ("starter", 14.0)
    assert (starter.plus_pin, starter.minus_pin) == ("starter.M", "starter.E")
    ways = crank.feed_v[0] + starter.volts + crank.return_v[0]
    assert ways == pytest.approx(crank.battery_v, rel=1e-6)
    assert crank.controllers == ()


def test_a_cranking_bench_tells_what_is_left_for_its_controller():
    """The valve made a starter of 100 A: its 0.1 ohm wires leave the controller little."""
    starts = bench(
        ("kind: solenoid\n    name: Valve", "kind: starter\n    name: Valve"),
        ("draws: {ohms: 10 ohm, duty: 40 %, in", "draws: {ohms: 5 ohm, in"),
    )
    (crank,) = supply_report(starts.vehicle, starts.solved, starts.readings).cranking
    (fed,) = crank.controllers
    assert (fed.device, fed.plus_pin, fed.minus_pin, fed.works_from_v) == (
        "ecu",
        "ecu.1",
        "ecu.2",
        6.0,
    )
    volts = starts.solved.meter["turning"].volts
    assert fed.volts == pytest.approx(volts["ecu.1"] - volts["ecu.2"])
    assert crank.battery_a == pytest.approx(-starts.solved.meter["turning"].charging_a)
    assert crank.inside_v == pytest.approx(0.005 * crank.battery_a, rel=1e-6)


def test_an_alternator_without_share_of_a_day_says_nothing_of_a_day():
    never = [
        (
            "  standing: {about: 'Main switch on, brake released', share: 50 %}",
            "  standing: {about: 'Main switch on, brake released'}",
        ),
        ("brake pressed', share: 25 %}", "brake pressed'}"),
        ("engine: 1000 rpm, share: 25 %}", "engine: 1000 rpm}"),
    ]
    at = bench(*never)
    assert supply_report(at.vehicle, at.solved, at.readings).day_a is None

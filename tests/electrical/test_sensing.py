"""Sensors in the loop that a whole vehicle's wiring makes: against the network and a simulator."""

import re
import shutil

import pytest

from buildbook.description.quantities import Measured
from buildbook.electrical.sensing import shown
from buildbook.electrical.sensors import pin_volts, reading
from buildbook.electrical.span import Span
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.electrical.test_simulator import simulate


def tables(result):
    return {table.pin: table for table in result.sensors.tables}


def load_of(result, table):
    """The sensor's load between the pins of a table; None for none."""
    ends = {table.pin, table.return_pin}
    loads = result.vehicle.devices[table.device].loads
    return next((load for load in loads if {load.from_pin, load.to_pin} == ends), None)


def signal_of(result, pin):
    return next(s for d in result.vehicle.devices.values() for s in d.signals if s.pin == pin)


def test_the_example_has_every_kind_of_sensor(lapwing):
    assert {table.law for table in lapwing.sensors.tables} == {
        "ntc",
        "platinum",
        "ohms",
        "volts",
        "current",
        "hall",
        "inductive",
        "switch",
    }
    written = [signal_of(lapwing, table.pin).written for table in lapwing.sensors.tables]
    assert {bool(s.ntc.beta) for s in written if s.ntc} == {True, False}
    assert any(s.ntc.coefficients for s in written if s.ntc)
    assert {pair.what for pair in lapwing.sensors.pairs} == {"sum", "ratio"}


def test_a_loop_gives_the_volts_that_the_whole_network_has(lapwing):
    """With the load that the description puts between the pins, the divider of the loop must
    read what the solved network reads: two ways to one voltage. Half a millivolt is left for
    the 1 gigohm of leakage at each node on the way."""
    checked = 0
    for table in lapwing.sensors.tables:
        load, loop = load_of(lapwing, table), table.loop
        if load is None or loop.pull_up_ohm is None or table.law == "switch":
            continue
        solution = lapwing.solved.meter[table.state]
        ours = pin_volts(
            0.0,
            load.ohms,
            loop.pull_up_ohm.nominal,
            loop.to_v.nominal,
            loop.lead_ohm,
            loop.offset_v,
        )
        there = solution.across(f"{table.meter_pin}~", f"{table.minus_pin}~")
        assert ours == pytest.approx(there, abs=5e-4), table.pin
        checked += 1
    assert checked >= 12


def test_leads_are_the_wires_and_contacts_of_the_loop(lapwing):
    """The knock of 0.23 ohm of leads is that of its wires and contacts, counted one by one; the
    shared return makes it no more than their sum."""
    table = tables(lapwing)["coolant-temperature.1"]
    branches = lapwing.solved.meter[table.state].branches
    circuits = {
        circuit
        for pin in (table.pin, table.return_pin)
        for circuit in lapwing.vehicle.circuit_of_pin[pin]
    }
    wires = [w for w in lapwing.harness.wires.values() if w.circuit in circuits]
    most = sum(branches[f"wire:{w.id}"].ohms for w in wires)
    contacts = [b for b in branches.values() if b.kind == "pin"]
    assert 0.05 < table.loop.lead_ohm < most + 8 * max(b.ohms for b in contacts if b.ohms < 0.1)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
@pytest.mark.parametrize("pin", ["coolant-temperature.1", "oil-temperature.1", "fuel-level.1"])
def test_hot_and_cold_readings_agree_with_the_simulator(lapwing, tmp_path, pin):
    """The netlist with the sensor's resistance of each row in place of its usual one."""
    table = tables(lapwing)[pin]
    solution = lapwing.solved.meter[table.state]
    numbers = node_numbers(solution)
    load = load_of(lapwing, table)
    text = netlist(solution)
    for row in table.rows:
        pattern = rf"(\* load:{re.escape(load.id)}\nR\S+ \S+ \S+) \S+"
        changed, count = re.subn(pattern, rf"\g<1> {row.ohms.nominal!r}", text)
        assert count == 1
        volts = simulate(changed, tmp_path) | {"0": 0.0}
        plus, minus = (volts[numbers[f"{p}~"]] for p in (table.meter_pin, table.minus_pin))
        assert row.volts.nominal == pytest.approx(plus - minus, abs=2e-4)


def test_meter_goes_on_the_controller_and_its_sensor_ground(lapwing):
    table = tables(lapwing)["coolant-temperature.1"]
    assert (table.meter_pin, table.minus_pin) == ("ecu.B11", "ecu.B3")
    assert table.state == "ignition on"
    assert table.unplugged_v == Span(4.95, 5.0, 5.05)


def test_a_sensor_feeds_on_what_its_supply_wire_leaves(lapwing):
    """The pressure sensor's supply is below the controller's 5 V by what 0.5 ohm and the wires
    take, and full scale falls with it: 4.5 V of 5 V."""
    table = tables(lapwing)["oil-pressure.2"]
    supply = table.loop.supply_v.nominal
    assert 4.9 < supply < 5.0
    full = table.rows[-1].volts.nominal
    assert full == pytest.approx(4.5 / 5 * supply + table.loop.offset_v, abs=1e-3)


def test_digital_inputs_say_how_the_controller_takes_them(lapwing):
    rows = tables(lapwing)["crank-sensor.2"].rows
    assert [row.level for row in rows] == ["low", "high"]


def test_brake_switch_gives_battery_volts_pressed_and_none_released(lapwing):
    released, pressed = tables(lapwing)["brake-switch.2"].rows
    assert abs(released.volts.nominal) < 0.1
    battery = lapwing.supply.balances
    least, most = min(b.battery_v for b in battery), max(b.battery_v for b in battery)
    assert least - 1.0 < pressed.volts.low <= pressed.volts.high < most + 0.5


def test_double_tracks_agree_within_what_the_controller_allows(lapwing):
    throttle, pedal = lapwing.sensors.pairs
    assert throttle.agrees
    assert pedal.agrees
    for row in throttle.rows:
        assert row.together.nominal == pytest.approx(row.first_v.nominal + row.second_v.nominal)


def test_every_row_runs_from_low_over_nominal_to_high(lapwing, motorcycle):
    for result in (lapwing, motorcycle):
        assert result.sensors.tables
        for table in result.sensors.tables:
            for span in (s for row in table.rows for s in (row.ohms, row.volts) if s):
                assert span.low <= span.nominal <= span.high


def test_values_shown_are_the_authors_else_the_points(lapwing):
    signal = signal_of(lapwing, "coolant-temperature.1")
    assert shown(signal)[0] == Measured(0, "degC")
    bare = signal.written.model_copy(update={"show": []})
    points = [str(v) for v in shown(type(signal)(*[""] * 4, bare))]
    assert points == ["20 degC", "50 degC", "90 degC"]
    assert reading(bare, Measured(50, "degC"), tables(lapwing)[signal.pin].loop).volts


def test_inductive_pickup_of_the_motorcycle_by_hand(motorcycle):
    """0.9 V at 250 rpm is 3.96 V at 1100 rpm, give or take 30 %; 220 ohm +- 10 % at rest."""
    rest, cranking, idle = tables(motorcycle)["pick-up.1"].rows
    assert (rest.ohms.low, rest.ohms.high) == pytest.approx((198, 242))
    assert cranking.volts.nominal == pytest.approx(0.9)
    assert (idle.volts.low, idle.volts.high) == pytest.approx((2.772, 5.148))

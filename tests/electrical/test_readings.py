"""Kinds of reading, each against what the description and Ohm's law say of its place."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.electrical.case import Case
from buildbook.electrical.network import build_network, network_ohms
from buildbook.electrical.reading import Reading, tolerant
from buildbook.electrical.readings import Readings, place_of_pin, readings_of
from buildbook.electrical.settle import Settler
from buildbook.electrical.span import exactly


@pytest.fixture(scope="module")
def at(lapwing):
    """What a meter shows at a pin of the example in a state."""
    return lambda pin, state: lapwing.readings[state].at_pin(pin)


def test_a_pickup_at_rest_stands_at_either_of_two_levels(lapwing):
    """Its sheet: 0.4 V at most while it pulls low, and the controller pulls it up to 5 V."""
    reading = lapwing.readings["ignition on"].across_pins("ecu.B5", "ecu.A34")
    assert reading.kind == "levels"
    assert reading.low.low >= 0 and reading.low.high <= 0.42
    assert reading.high.nominal == pytest.approx(5.0, abs=0.01)
    assert all(reading.fits(volts) for volts in (0.2, 4.97))
    assert not any(reading.fits(volts) for volts in (1.59, 2.5, 12.6))


def test_a_pickup_that_turns_shows_anything_between(at):
    reading = at("crank-sensor.2", "idle")
    assert reading.kind == "between"
    assert all(reading.fits(volts) for volts in (0.3, 1.6, 5.0))
    assert not reading.fits(12.6)


@pytest.mark.parametrize("state", ["ignition on", "idle", "full load at night", "raining"])
def test_a_pickup_pulls_down_to_where_its_own_ground_stands_in_each_state(lapwing, state):
    """Half of its sheet's 0.4 V, and 2 mA through 0.1 ohm of leads, above a ground at the engine
    that what the alternator gives lifts or lowers by 30 mV."""
    shown = lapwing.readings[state]
    ground_v = shown.solution.volts["cam-sensor.3"]
    assert shown.at_pin("cam-sensor.2").low.nominal - ground_v == pytest.approx(0.2, abs=2e-3)


def test_a_thermistor_reads_all_between_its_hottest_and_coldest(lapwing):
    """By hand, 2.49 kohm to 5 V: 5775 ohm at 0 degC makes 3.49 V, 144.3 ohm at 110 degC 0.27 V."""
    reading = lapwing.readings["ignition on"].across_pins("ecu.B11", "ecu.B3")
    assert reading.kind == "between"
    assert reading.low.nominal == pytest.approx(5 * 144.33 / (144.33 + 2490), abs=0.01)
    assert reading.high.nominal == pytest.approx(5 * 5775 / (5775 + 2490), abs=0.01)


def test_an_inductive_pickup_alternates_while_it_turns_alone(at):
    assert at("input-speed.1", "idle").kind == "alternating"
    assert at("input-speed.1", "ignition on").kind == "steady"


def test_a_meter_shows_the_mean_of_an_injectors_pulses(lapwing, at):
    """Closed for 45 percent of the time: 0.45 of the lower end and 0.55 of the upper."""
    reading = at("injector-1.2", "idle")
    assert reading.kind == "average"
    assert reading.low.nominal < 0.5 < 13 < reading.high.nominal
    by_hand = 0.45 * reading.low.nominal + 0.55 * reading.high.nominal
    assert reading.volts.nominal == pytest.approx(by_hand, rel=0.02)


def test_a_meter_follows_the_beat_of_a_flasher(at):
    reading = at("indicator-front-left.1", "raining")
    assert reading.kind == "between"
    assert reading.low.nominal < 0.1
    assert 12 < reading.high.nominal < 13.5


def test_what_nothing_is_joined_to_floats(at):
    assert at("ecu.A22", "idle").kind == "floating"
    assert at("ecu.A22", "idle").fits(3.3), "whatever a meter shows there says nothing"


def test_the_ripple_of_a_supply_is_steady(at):
    assert at("panel.B", "idle").kind == "steady"


def test_a_probe_meets_a_fuse_on_its_top_and_the_battery_on_its_posts(lapwing):
    vehicle = lapwing.vehicle
    assert place_of_pin(vehicle, "F4.out") == "F4.out~"
    assert place_of_pin(vehicle, "battery.+") == "battery.+~"
    assert place_of_pin(vehicle, "fuel-pump.1") == "fuel-pump.1"
    assert place_of_pin(vehicle, "X1.5/engine") == "X1.5/engine"


def test_a_contact_that_buzzes_leaves_unsure_only_what_it_moves(two_wire):
    here = two_wire.readings["lit"]
    solution = replace(here.solution, unsettled=frozenset({"contact:switch.1-2"}))
    dark = solution.volts | {"lamp.1": 0.0}
    shown = Readings(two_wire.vehicle, solution, two_wire.sensors, dark)
    assert shown.at_pin("lamp.1").kind == "unsettled"
    assert "contact:switch.1-2" in shown.at_pin("lamp.1").why
    assert shown.at_pin("battery.+" if "battery.+" in here.solution.volts else "lamp.2").kind == (
        "steady"
    )
    assert Readings(two_wire.vehicle, solution).at_pin("lamp.2").kind == "unsettled", (
        "what a supply without rest does is not told"
    )


def test_where_a_source_of_any_name_finds_no_rest_no_place_is_sure(two_wire, monkeypatch):
    ohms = network_ohms(two_wire.solved)
    network = build_network(two_wire.vehicle, two_wire.harness, *ohms)
    named = tuple(replace(source, id="lower") for source in network.sources)
    settler = Settler(replace(network, sources=named))
    settle = settler.settle

    def restless(cases):
        settled = settle(cases)
        settled.unsettled[:] = [frozenset({"lower"})] * len(cases)
        return settled

    monkeypatch.setattr(settler, "settle", restless)
    (shown,) = readings_of(two_wire.vehicle, settler, [Case("lit")], two_wire.sensors)
    assert shown.at_pin("lamp.1").kind == "unsettled"


def test_a_battery_at_three_quarters_fits_and_one_at_half_a_volt_less_does_not():
    """12.4 V stand for three quarters of charge where 12.7 are full (common practice)."""
    assert Reading("steady", tolerant(12.7)).fits(12.4)
    assert not Reading("steady", tolerant(12.7)).fits(11.5)
    assert not Reading("levels", None, exactly(0.0), exactly(5.0)).fits(2.5)

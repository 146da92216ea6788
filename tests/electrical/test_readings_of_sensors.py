"""What a meter shows at the sensors of the bench in each state, against their tables and Ohm."""

from __future__ import annotations

import pytest

from buildbook.electrical.grounds import ground_points
from buildbook.electrical.reading import Reading
from buildbook.electrical.span import Span
from tests.electrical.sensor_bench import CONTACT_OHM, bench


def at_controller(at, state, pin):
    """From the controller's pin of a sensor to the ground of its pull-up."""
    table = at.table(pin)
    return at.readings[state].across_pins(table.meter_pin, table.minus_pin)


@pytest.mark.parametrize("state", ["standing", "braking", "turning"])
def test_a_thermistor_reads_all_between_its_rows(state):
    at = bench()
    reading = at_controller(at, state, "temperature.1")
    cold, hot = at.table("temperature.1").rows
    assert reading.kind == "between"
    assert reading.low.nominal == pytest.approx(hot.volts.nominal, abs=2e-3)
    assert reading.high.nominal == pytest.approx(cold.volts.nominal, abs=2e-3)
    assert reading.low.low == pytest.approx(hot.volts.low, abs=2e-3)
    assert reading.high.high == pytest.approx(cold.volts.high, abs=2e-3)
    assert reading.why == "follows what the sensor measures"


def test_against_the_battery_it_stands_higher_by_the_controllers_ground():
    at = bench()
    across = at_controller(at, "turning", "temperature.1")
    ground_v = at.solved.meter["turning"].volts["ecu.3~"]
    assert ground_v > 0.1
    here = at.readings["turning"].at_pin("ecu.5")
    assert here.low.nominal - across.low.nominal == pytest.approx(ground_v, abs=1e-3)
    assert here.volts.nominal == pytest.approx(at.solved.meter["turning"].volts["ecu.5"])


def test_a_pickup_stands_at_either_level_and_beats_while_the_shaft_turns():
    at = bench()
    still, turning = (at_controller(at, s, "pickup.2") for s in ("standing", "turning"))
    assert (still.kind, still.volts) == ("levels", None)
    assert turning.kind == "between"
    assert turning.why == "switches as it turns"
    for reading in (still, turning):
        assert reading.low.nominal == pytest.approx(0.2, abs=0.01)
        assert reading.high.nominal == pytest.approx(5.0, abs=0.01)


def test_a_coil_alternates_only_while_it_turns():
    at = bench()
    turning = at_controller(at, "turning", "speed.1")
    assert turning.kind == "alternating"
    assert turning.why == "alternating while it turns"
    # Its coil pulls 2.5 V through 5 kohm down to 500 ohm and the leads: 0.227 V beneath the swing.
    assert turning.low.nominal == pytest.approx(2.5 * 500.2 / 5500.2, abs=1e-3)
    assert turning.high.high - turning.low.low == pytest.approx(0.2, abs=1e-6)
    assert at_controller(at, "standing", "speed.1").kind == "steady"


def test_a_transmitter_that_needs_8_v_of_12_cannot_make_its_highest_reading():
    """At 20 mA 250 ohm take 5 V and leave it less than its 8 V: what it then draws is in proportion
    to what it has, v = 5 (loop - v) / 8."""
    at = bench()
    volts = at.solved.meter["standing"].volts
    loop_v = volts["transmitter.1~"] - volts["ecu.2~"]
    reading = at_controller(at, "standing", "transmitter.2")
    assert reading.kind == "between"
    # 0.5 A of the controller lift its ground by the 6 milliohm of a contact.
    assert reading.low.nominal == pytest.approx(1.0, abs=5e-3)
    assert reading.high.nominal == pytest.approx(5 * loop_v / 13, abs=5e-3)
    modest = bench(("like: transmitter, works from: 8 V", "like: transmitter, works from: 6 V"))
    assert at_controller(modest, "standing", "transmitter.2").high.nominal == pytest.approx(
        5.0, abs=5e-3
    )


@pytest.mark.parametrize("pin", ["temperature.1", "pressure.2", "pickup.2", "transmitter.2"])
def test_a_sensor_that_nothing_feeds_is_as_steady_as_any_place(pin):
    reading = bench().readings["off"].at_pin(pin)
    assert reading.kind == "steady"
    assert reading.volts.nominal == pytest.approx(0.0, abs=1e-6)


def test_a_powered_sensor_does_nothing_while_its_supply_is_switched_off():
    """Fed by the brake switch, whose 12 V it has while the brake is pressed alone."""
    switched = bench(
        ("[ecu.11, brake-switch.2]", "[ecu.11, brake-switch.2, pressure.1]"),
        ("[ecu.4, pressure.1, pickup.1, tracks.1]", "[ecu.4, pickup.1, tracks.1]"),
        ("show: [0 bar, 5 bar, 10 bar]", "show: [0 bar, 5 bar, 10 bar], state: braking"),
    )
    assert switched.table("pressure.2").loop.supply_v.nominal == pytest.approx(12.3, abs=0.3)
    assert at_controller(switched, "braking", "pressure.2").kind == "between"
    assert at_controller(switched, "standing", "pressure.2").kind == "steady"


def test_a_controllers_own_supply_is_as_sure_as_its_sheet():
    """5 V +- 2 % and 0.1 V of the meter, not the 6 % of what hangs on a battery."""
    sure = bench(("tolerance: 4 %}\n", "tolerance: 2 %}\n"))
    shown = sure.readings["standing"]
    on_it = shown.across_pins("pickup.1", "pickup.3").volts
    assert on_it.high - on_it.nominal == pytest.approx(0.1 + 5 * 0.02)
    off_it = shown.across_pins("F1.out", "pickup.1").volts
    assert off_it.high - off_it.nominal == pytest.approx(0.06 * off_it.nominal)
    asleep = sure.readings["off"].across_pins("pickup.1", "pickup.3").volts
    assert asleep.high - asleep.nominal == pytest.approx(0.1)


PULSED = "draws: {ohms: 10 ohm, duty: 40 %"


def test_a_meter_shows_the_mean_of_a_valves_pulses():
    """On for 40 % of the time: at its driver 0.4 of the lower end and 0.6 of the upper."""
    reading = bench().readings["turning"].at_pin("valve.2")
    assert reading.kind == "average"
    assert reading.why == "pulses: a meter shows their mean"
    low, high = reading.low.nominal, reading.high.nominal
    assert low < 1 < 12 < high
    assert reading.volts.nominal == pytest.approx(0.4 * low + 0.6 * high, rel=2e-3)
    assert bench().readings["standing"].at_pin("valve.2").kind == "steady"
    assert reading.most_v == reading.volts.nominal


@pytest.mark.parametrize(("hertz", "kind"), [(9, "between"), (10, "average")])
def test_a_meter_follows_pulses_slower_than_ten_a_second(hertz, kind):
    beating = bench((PULSED, f"{PULSED}, frequency: {hertz} Hz"))
    reading = beating.readings["turning"].at_pin("valve.2")
    assert reading.kind == kind
    assert ("slower" in reading.why) == (kind == "between")


def test_what_ripples_little_is_steady():
    """1.2 A of the valve over some tenths of an ohm of feed: under half a volt."""
    assert bench().readings["turning"].at_pin("F1.out").kind == "steady"


def test_an_open_switch_between_two_open_ends_is_held_by_nothing():
    shown = bench().readings["off"]
    floating = shown.at_pin("button.1")
    assert (floating.kind, floating.why) == ("floating", "nothing holds it")
    assert shown.volts_across("button.1", "battery.-") == 0.0
    assert shown.across_pins("ecu.16", "battery.-") is None, "no circuit"
    assert shown.volts_across("ecu.16", "battery.-") == 0.0


def test_volts_between_two_pins_are_those_of_a_reading():
    shown = bench().readings["standing"]
    volts = shown.solution.volts
    assert shown.volts_across("battery.+", "battery.-") == pytest.approx(
        volts["battery.+~"] - volts["battery.-~"]
    )
    assert shown.volts_across("valve.1", "ecu.2") == volts["valve.1"] - volts["ecu.2"]


@pytest.mark.parametrize(
    ("reading", "inside", "outside"),
    [
        (Reading("steady", Span(1, 2, 3)), (1, 2, 3), (0.9, 3.1)),
        (Reading("levels", None, Span(0, 0.2, 0.4), Span(4, 5, 6)), (0, 0.4, 4, 6), (0.5, 3.9)),
        (Reading("between", Span(1, 2, 3), Span(0, 0.2, 0.4), Span(4, 5, 6)), (0, 2, 6), (6.1,)),
        (Reading("between", Span(1, 2, 3)), (1, 3), (0.9, 3.1)),
        (Reading("floating"), (-99, 99), ()),
        (Reading("unsettled"), (-99, 99), ()),
        (Reading("average", Span(1, 2, 3), Span(0, 0, 0), Span(9, 9, 9)), (1, 3), (0, 9)),
    ],
)
def test_a_healthy_vehicle_shows_what_a_reading_allows_and_no_more(reading, inside, outside):
    assert all(reading.fits(volts) for volts in inside)
    assert not any(reading.fits(volts) for volts in outside)


def test_the_most_that_a_meter_may_show():
    ends = Span(0, 0.2, 0.4), Span(4, 5, 6)
    assert Reading("average", Span(1, 2, 3), *ends).most_v == 2
    assert Reading("between", Span(1, 2, 3), *ends).most_v == 5
    assert Reading("steady", Span(1, 2, 3)).most_v == 2
    assert Reading("floating").most_v == 0


def test_a_ground_point_is_told_in_the_state_in_which_its_wires_carry_most():
    """The controller's half ampere comes by its own wire; the gauge's 200 ohm by another; what
    both bring leaves by the battery's. While it turns, 0.4 of the valve's 1.2 A come as well."""
    at = bench()
    (point,) = ground_points(at.vehicle, at.harness, at.solved)
    assert (point.device.id, point.state, point.furthest_state) == ("ground", "turning", "turning")
    by_pins = {wire.pins: wire for wire in point.wires}
    volts = at.solved.meter["turning"].volts
    gauge = by_pins[("sender.2",)]
    over_v = volts["sender.1"] - volts["sender.2"]
    assert gauge.current_a == pytest.approx(over_v / (100 + 2 * CONTACT_OHM), rel=1e-6)
    assert by_pins[("battery.-",)].current_a == pytest.approx(
        -gauge.current_a - by_pins[("ecu.2",)].current_a, rel=1e-6
    )
    assert point.current_a == pytest.approx(0.0, abs=1e-6), "nothing comes through the body"
    assert point.volts == point.furthest_v == pytest.approx(volts[point.device.pins[0].id])
    assert all(wire.splices == () for wire in point.wires)


def test_a_ground_point_tells_the_splices_and_the_pins_behind_them():
    joined = bench(
        ("{join: [ecu.2, ground]", "{join: [ecu.2, sender.2, ground]"),
        ("  sender ground: {join: [sender.2, ground], system: control}\n", ""),
    )
    (point,) = ground_points(joined.vehicle, joined.harness, joined.solved)
    (shared,) = [wire for wire in point.wires if wire.splices]
    assert set(shared.pins) == {"ecu.2", "sender.2"}
    assert len(shared.splices) == 1


def test_with_the_plus_on_the_body_what_a_load_takes_still_counts_from_zero_up(positive_earth):
    vehicle, solved = positive_earth.vehicle, positive_earth.solved
    points = ground_points(vehicle, positive_earth.harness, solved)
    seen = 0
    for point in points:
        for wire in point.wires:
            behind = [vehicle.devices[vehicle.pins[pin].device] for pin in wire.pins]
            if behind and all(device.loads for device in behind):
                assert wire.current_a >= -1e-6, (point.device.id, wire)
                seen += wire.current_a > 0.1
    assert seen

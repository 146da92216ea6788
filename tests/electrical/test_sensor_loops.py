"""What lies around each sensor of a small bench, summed up by hand, and what it then reads."""

from __future__ import annotations

import pytest

from buildbook.description.quantities import Measured
from buildbook.electrical.conditions import AT_REST
from buildbook.electrical.sensing import controller_pin, loads_of, place_of, shown, spans_lifted
from buildbook.electrical.sensors import Loop
from buildbook.electrical.span import Span, exactly
from tests.electrical.sensor_bench import CONTACT_OHM, WIRE_OHM, bench

WAY_OHM = WIRE_OHM + CONTACT_OHM
"""A wire and the contact at its end."""
SUPPLY_A = 5 / (1 + 1 / (1 / 250 + 1 / 1000 + 1 / 1000))
"""What the pressure sensor, the pickup and the pedal take of the 5 V behind 1 ohm."""
PULLED_A = 5 / 2000 + 5 / 20000 + 5 / 3000 + 2 * 5 / 12500
"""What the pull-ups send through the temperature, the pressure, the pickup and both tracks."""


def signal_of(at, pin):
    return next(s for d in at.vehicle.devices.values() for s in d.signals if s.pin == pin)


def rows(at, pin):
    return {row.when: row for row in at.table(pin).rows}


def test_a_meter_goes_on_the_controllers_pin_and_the_ground_that_its_pull_up_works_against():
    at = bench()
    ends = {t.pin: (t.meter_pin, t.minus_pin) for t in at.sensors.tables}
    assert ends == {
        "temperature.1": ("ecu.5", "ecu.3"),
        "pressure.2": ("ecu.6", "ecu.3"),
        "pickup.2": ("ecu.7", "ecu.3"),
        "speed.1": ("ecu.8", "ecu.9"),
        "transmitter.2": ("ecu.10", "ecu.2"),
        "tracks.3": ("ecu.12", "ecu.3"),
        "tracks.4": ("ecu.13", "ecu.3"),
        "brake-switch.2": ("ecu.11", "ecu.2"),
        "button.1": ("ecu.14", "ecu.3"),
        "sender.1": ("sender.1", "sender.2"),
    }


def test_each_table_says_by_which_law_its_sensor_gives():
    laws = {t.pin: t.law for t in bench().sensors.tables}
    assert laws["temperature.1"] == "ntc"
    assert laws["speed.1"] == "inductive"
    assert laws["transmitter.2"] == "current"
    assert laws["button.1"] == "switch"


def test_leads_are_two_ways_and_the_shared_one():
    """There: a wire between two contacts; back: one to the splice, and one on to the controller."""
    found = bench().table("temperature.1").loop
    assert found.lead_ohm == pytest.approx(3 * WIRE_OHM + 4 * CONTACT_OHM, rel=1e-3)
    assert bench().table("speed.1").loop.lead_ohm == pytest.approx(2 * WAY_OHM + 2 * CONTACT_OHM)


def test_the_shared_return_is_lifted_by_what_the_others_send_through_it():
    """The temperature's own current away; it comes to the splice where all others are."""
    found = bench().table("temperature.1").loop
    others_a = SUPPLY_A + PULLED_A - 5 / 2000
    assert found.offset_v == pytest.approx(others_a * WAY_OHM, rel=5e-3)


def test_a_powered_sensors_own_supply_current_lifts_it_too():
    found = bench().table("pressure.2").loop
    others_a = SUPPLY_A + PULLED_A - 5 / 20000
    own_a = 5 / 250
    assert found.offset_v == pytest.approx((others_a + own_a) * WAY_OHM, rel=0.01)


def test_the_supply_at_a_sensor_is_less_by_its_own_ohms_and_the_ways_there_and_back():
    found = bench().table("pressure.2").loop
    own_a = 5 / 250
    there_v = SUPPLY_A * (1 + WAY_OHM) + own_a * WAY_OHM
    assert found.supply_v.nominal == pytest.approx(5 - there_v - found.offset_v, abs=5e-4)
    assert found.supply_v.high / found.supply_v.nominal == pytest.approx(1.04)
    assert bench().table("temperature.1").loop.supply_v == exactly(0.0)


def test_a_pull_up_is_as_sure_as_the_controllers_sheet_says():
    found = bench().table("temperature.1").loop
    assert (found.pull_up_ohm.low, found.pull_up_ohm.high) == pytest.approx((980, 1020))
    assert (found.to_v.low, found.to_v.high) == pytest.approx((4.95, 5.05))
    speed = bench().table("speed.1").loop
    assert speed.to_v.nominal == 2.5


def test_a_thermistor_under_its_pull_up_by_hand():
    """400 ohm at 50 degC under 1 kohm to 5 V, leads and lifted return counted."""
    at = bench()
    loop = at.table("temperature.1").loop
    lead, up = loop.lead_ohm, loop.offset_v
    by_hand = up + (5 - up) * (400 + lead) / (1400 + lead)
    assert rows(at, "temperature.1")["50 degC"].volts.nominal == pytest.approx(by_hand)


def test_a_sensor_without_a_plug_reads_the_pull_ups_volts_and_a_transmitter_none():
    at = bench()
    assert at.table("temperature.1").unplugged_v == at.table("temperature.1").loop.to_v
    assert at.table("transmitter.2").unplugged_v is None


def test_the_return_stood_where_the_solved_network_has_it():
    at = bench()
    volts = at.solved.meter["standing"].volts
    found = at.table("pressure.2")
    assert found.return_v == pytest.approx(volts["pressure.3~"] - volts["ecu.3~"])
    assert found.return_v > found.loop.offset_v, "the sensor's own current is part of it"


def test_readings_are_of_the_first_state_at_rest_that_wakes_the_controller():
    assert bench().table("temperature.1").state == "standing"
    turned = bench(("  standing: {about: 'Main switch on, brake released',", STANDING_TURNS))
    assert turned.table("temperature.1").state == "braking"
    assert turned.table("sender.1").state == "standing", "no controller: the first that feeds it"


STANDING_TURNS = "  standing: {about: 'Main switch on, shaft turned', engine: 60 rpm,"


def test_with_no_state_at_rest_the_first_that_wakes_the_controller_counts():
    every = tuple(
        (f"  {name}: {{about: {words}", f"  {name}: {{engine: 60 rpm, about: {words}")
        for name, words in (("standing", "'Main switch on, b"), ("braking", "'Main switch on, b"))
    )
    assert bench(*every).table("temperature.1").state == "standing"


def test_a_state_that_the_author_names_is_taken():
    asked = bench(
        ("tolerance: 10 %}}}\n  pressure", "tolerance: 10 %}, state: turning}}\n  pressure")
    )
    assert asked.table("temperature.1").state == "turning"
    gauge = bench(("[100 %, 180 ohm]], tolerance: 10 %}", "[100 %, 180 ohm]]}, state: turning"))
    assert gauge.table("sender.1").state == "turning"


def test_a_sensor_of_a_gauge_has_ohms_and_no_loop():
    at = bench()
    assert at.table("sender.1").loop.pull_up_ohm is None
    empty, full = at.table("sender.1").rows
    assert (empty.when, full.when) == ("0 %", "100 %")
    assert full.ohms == Span(162.0, 180.0, 198.0)
    assert full.volts is None


def test_a_pickup_reads_low_at_its_tooth_and_high_in_its_gap():
    at = bench()
    tooth, gap = at.table("pickup.2").rows
    assert (tooth.when, tooth.level) == ("tooth", "low")
    assert (gap.when, gap.level) == ("gap", "high")
    up = at.table("pickup.2").loop.offset_v
    assert tooth.volts.nominal == pytest.approx(0.2 + up, abs=1e-3)
    assert gap.volts.low == pytest.approx(4.95 - 1e-5 * 2020)


LEVELS = "low: 1.5 V, high: 3.5 V"


@pytest.mark.parametrize(
    ("levels", "tooth", "gap"),
    [
        ("low: 300 mV, high: 4.94 V", "between", "between"),
        ("low: 500 mV, high: 4.9 V", "low", "high"),
        ("low: 1.5 V", "", ""),
        ("high: 3.5 V", "", ""),
    ],
)
def test_an_input_takes_a_voltage_for_what_its_levels_say(levels, tooth, gap):
    """0.4 V and a lifted ground at most at the tooth, 4.9298 V at least in the gap."""
    found = bench((LEVELS, levels)).table("pickup.2").rows
    assert [row.level for row in found] == [tooth, gap]


def test_a_coil_has_its_ohms_at_rest_and_volts_in_proportion_to_its_speed():
    still, slow, fast = bench().table("speed.1").rows
    assert (still.when, still.volts, still.alternating) == (AT_REST, None, False)
    assert (still.ohms.low, still.ohms.high) == pytest.approx((450, 550))
    assert (slow.when, slow.volts.nominal, slow.alternating) == ("500 rpm", 1.0, True)
    assert fast.volts.nominal == pytest.approx(3.0)


def test_a_transmitter_reads_its_current_over_the_controllers_resistor():
    """12 mA x 250 ohm = 3 V; 0.16 mA more and half a percent of the resistor: 3.0552 V."""
    at = bench()
    assert at.table("transmitter.2").loop.pull_up_ohm is None
    half = rows(at, "transmitter.2")["50 %"]
    assert half.volts.nominal == pytest.approx(3.0)
    assert half.volts.high == pytest.approx(12.16e-3 * 251.25)
    assert half.level == ""


def test_a_switch_to_the_feed_reads_nothing_open_and_the_battery_closed():
    """Of the three states that wake the controller one has it pressed; in the others the volts
    beyond its contact stand for it."""
    at = bench()
    found = rows(at, "brake-switch.2")
    assert found["brake released"].volts.nominal == pytest.approx(0.0, abs=1e-4)
    feeds = [
        volts["brake-switch.1~"] - volts["ecu.2~"]
        for state, volts in ((s, at.solved.meter[s].volts) for s in ("standing", "turning"))
    ]
    pressed = at.solved.meter["braking"].volts
    three = sorted([*feeds, pressed["ecu.11~"] - pressed["ecu.2~"]])
    volts = found["brake pressed"].volts
    assert (volts.low, volts.nominal, volts.high) == pytest.approx(three)
    assert at.table("brake-switch.2").state == ""


def test_a_switch_to_ground_reads_its_pull_up_open_with_what_that_may_be():
    found = rows(bench(), "button.1")
    opened, closed = found["released"], found["pressed"]
    assert opened.volts.nominal == pytest.approx(5.0, abs=1e-3)
    assert opened.volts.low == pytest.approx(5.0 * 0.97, abs=1e-3)
    assert opened.volts.high == pytest.approx(5.0 * 1.03, abs=1e-3)
    assert (opened.level, closed.level) == ("high", "low")
    assert closed.volts.high < 0.01


def test_a_switch_that_no_state_leaves_open_has_its_closed_reading_alone():
    shut = bench(("closed: [braking], limit: 1 A", 'closed: {except: ["off"]}, limit: 1 A'))
    (row,) = shut.table("button.1").rows
    assert row.when == "pressed"
    assert row.volts.low == pytest.approx(row.volts.high, abs=5e-3)


def test_two_tracks_at_their_nominal_supply_make_their_sum():
    """0.5 to 4.5 V of 5 V, and the other way round: at a quarter 1.5 and 3.5 V, of the supply at
    the pedal; 1 % of 4 V each; each lifted by its return, and its pull-up lifts it over 0.33 ohm
    by less than a millivolt."""
    at = bench()
    (pair,) = at.sensors.pairs
    loop = at.table("tracks.3").loop
    share = loop.supply_v.nominal / 5
    quarter = pair.rows[1]
    assert (pair.device, pair.tracks) == ("tracks", ("tracks.3", "tracks.4"))
    assert (pair.what, pair.wanted, pair.within) == ("sum", 5.0, 0.04)
    assert [row.when for row in pair.rows] == ["0 %", "25 %", "100 %"]
    assert quarter.first_v.nominal == pytest.approx(1.5 * share + loop.offset_v, abs=1e-3)
    assert quarter.second_v.nominal == pytest.approx(3.5 * share + loop.offset_v, abs=1e-3)
    assert quarter.first_v.high - quarter.first_v.nominal == pytest.approx(0.04 * share, rel=1e-3)
    assert quarter.together.nominal == pytest.approx(5 * share + 2 * loop.offset_v, abs=1e-3)


def test_a_ratio_of_tracks_is_the_first_over_the_second():
    at = bench(("sum: 5 V, within", "ratio: 2, within"))
    (pair,) = at.sensors.pairs
    assert (pair.what, pair.wanted) == ("ratio", 2.0)
    quarter = pair.rows[1]
    by_hand = quarter.first_v.nominal / quarter.second_v.nominal
    assert quarter.together.nominal == pytest.approx(by_hand)


def test_values_shown_are_the_authors_else_where_the_points_are():
    at = bench()
    assert shown(signal_of(at, "tracks.3"))[1] == Measured(25, "%")
    assert shown(signal_of(at, "sender.1")) == [Measured(0, "%"), Measured(100, "%")]
    assert [str(v) for v in shown(signal_of(at, "temperature.1"))] == ["20 degC", "50 degC"]
    bare = bench(("into tolerance: 0.5 %}, show: [0 %, 50 %, 100 %]", "into tolerance: 0.5 %}"))
    assert [str(v) for v in shown(signal_of(bare, "transmitter.2"))] == ["0 %", "100 %"]
    assert shown(signal_of(at, "pickup.2")) == []


TWO_READ_IT = (
    "  valve:\n    kind: solenoid",
    """  logger:
    kind: controller
    name: Logger
    at: box
    system: control
    plug: six
    unused: ["4", "5", "6"]
    pins: {1: feed, 2: ground, 3: pickup, 7: spare}
    power: {feeds: ["1"], grounds: ["2"], works from: 6 V}
  valve:
    kind: solenoid""".replace(", 7: spare", ""),
)
LOGGED = (
    ("valve.1, gauge.1]", "valve.1, gauge.1, logger.1]"),
    ("[ecu.2, ground]", "[ecu.2, ground, logger.2]"),
)


def test_of_two_that_read_a_sensor_the_one_with_an_input_counts():
    both = bench(TWO_READ_IT, *LOGGED, ("[ecu.7, pickup.2]", "[logger.3, ecu.7, pickup.2]"))
    assert controller_pin(both.vehicle, "pickup.2", "pickup") == "ecu.7"
    assert controller_pin(both.vehicle, "pickup.2", "ecu") == "logger.3", "its own are not asked"
    assert controller_pin(both.vehicle, "sender.1", "sender") is None, "a gauge is no controller"


def test_what_is_measured_without_a_pull_up_is_told_against_the_readers_own_ground():
    alone = bench(
        TWO_READ_IT,
        *LOGGED,
        ("join: [ecu.7, pickup.2]", "join: [logger.3, pickup.2]"),
        ("7: pickup, 8: speed,", "8: speed,"),
        ('unused: ["17"', 'unused: ["7", "17"'),
        ('      7: {pull up: 2 kohm, to: 5 V, ground: "3", low: 1.5 V, high: 3.5 V}\n', ""),
    )
    at = place_of(alone.vehicle, alone.solved, signal_of(alone, "pickup.2"))
    assert (at.meter, at.minus, at.pull_up) == ("logger.3", "logger.2", None)
    tooth, gap = alone.table("pickup.2").rows
    assert tooth.volts.nominal == pytest.approx(
        0.2 + alone.table("pickup.2").loop.offset_v, abs=1e-6
    )
    assert gap.volts is None, "nothing lifts it"


def test_a_lifted_return_lifts_the_reading_and_takes_from_a_supply_that_does_not_rise():
    at = bench()
    signal, loop = signal_of(at, "pressure.2"), Loop(None, exactly(0.0), 0.0, 0.0, exactly(5.0))
    lowest, middle, highest = spans_lifted(signal, loop, 0.5)
    assert lowest.nominal == pytest.approx(0.5 + 0.5 * 4.5 / 5)
    assert middle.nominal == pytest.approx(0.5 + 2.5 * 4.5 / 5)
    assert highest.nominal == pytest.approx(0.5 + 4.5 * 4.5 / 5)


def test_a_lifted_pickup_pulls_down_to_its_own_ground_only():
    at = bench()
    loop = Loop(exactly(2000.0), exactly(5.0), 0.0, 0.0, exactly(5.0))
    tooth, gap = spans_lifted(signal_of(at, "pickup.2"), loop, 1.0)
    assert tooth.nominal == pytest.approx(1.2)
    assert gap.nominal == pytest.approx(5.0)


def test_a_sensors_loads_are_those_between_the_two_pins_of_its_signal():
    at = bench()
    (own,) = loads_of(at.vehicle, signal_of(at, "pressure.2"))
    assert {own.from_pin, own.to_pin} == {"pressure.2", "pressure.3"}
    assert loads_of(at.vehicle, signal_of(at, "button.1")) == ()

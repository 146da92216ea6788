"""Readings at the pin: dividers by hand, and tolerances that never leave what they may be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildbook.description.models import Signal
from buildbook.description.quantities import Measured, parse_measured
from buildbook.electrical.sensors import (
    Loop,
    hall_reading,
    pin_volts,
    ratio_of,
    reading,
    straight,
    sum_of,
    switch_reading,
    wiper_ohms,
)
from buildbook.electrical.span import Span, around, exactly, worst_case

PULLED = Loop(around(2490, 0.01), around(5.0, 0.01))


def signal(**written):
    return Signal.model_validate(written)


def at(given, text, loop=PULLED):
    return reading(given, parse_measured(text), loop)


def test_equal_resistances_halve_the_volts():
    assert pin_volts(0.0, 2490, 2490, 5.0) == pytest.approx(2.5)


def test_divider_with_leads_and_a_lifted_return_by_hand():
    """100 ohm and 10 ohm of leads under 390 ohm to 5 V, return at 0.5 V: (5 - 0.5) / 500 = 9 mA;
    5 V - 9 mA x 390 ohm = 1.49 V."""
    assert pin_volts(0.0, 100, 390, 5.0, 10, 0.5) == pytest.approx(1.49)


def test_output_pulled_up_by_its_output_resistance_by_hand():
    """1 V behind 1 kohm with 4 kohm to 5 V: 4 V / 5 kohm = 0.8 mA lifts it by 0.8 V."""
    assert pin_volts(1.0, 1000, 4000, 5.0) == pytest.approx(1.8)


def test_thermistor_at_its_stated_temperature_by_hand():
    """2500 / (2500 + 2490) x 5 V = 2.505 V."""
    ntc = signal(ntc={"ohms": "2.5 kohm", "at": "20 degC", "beta": "3500 K"})
    found = at(ntc, "20 degC")
    assert found.ohms == Span(2375, 2500, 2625)
    assert found.volts.nominal == pytest.approx(2.50501, abs=1e-5)


def test_worst_case_of_a_thermistor_by_hand():
    """Low: 2375 ohm under 2514.9 ohm to 4.95 V; high: 2625 ohm under 2465.1 ohm to 5.05 V."""
    ntc = signal(ntc={"ohms": "2.5 kohm", "at": "20 degC", "beta": "3500 K"})
    volts = at(ntc, "20 degC").volts
    assert volts.low == pytest.approx(4.95 * 2375 / (2375 + 2514.9))
    assert volts.high == pytest.approx(5.05 * 2625 / (2625 + 2465.1))


def test_beta_tolerance_widens_the_range_away_from_the_stated_temperature():
    loose = {"ohms": "2.5 kohm", "at": "20 degC", "beta": "3500 K", "beta tolerance": "2 %"}
    at_20, at_90 = (at(signal(ntc=loose), t).ohms for t in ("20 degC", "90 degC"))
    assert at_20.high / at_20.nominal == pytest.approx(1.05)
    assert at_90.high / at_90.nominal > 1.09


def test_two_points_three_points_and_beta_of_one_curve_agree():
    points = [["20 degC", "2500 ohm"], ["50 degC", "834 ohm"]]
    by_two = at(signal(ntc={"points": points}), "50 degC").ohms.nominal
    by_three = at(signal(ntc={"points": [*points, ["90 degC", "245 ohm"]]}), "50 degC")
    assert by_two == pytest.approx(834)
    assert by_three.ohms.nominal == pytest.approx(834)


def test_pt1000_under_its_pull_up_by_hand():
    """1385.06 / (1385.06 + 2490) x 5 V = 1.78715 V."""
    assert at(signal(platinum={"ohms": "1 kohm"}), "100 degC").volts.nominal == pytest.approx(
        1.78715, abs=1e-5
    )


def test_pressure_sensor_half_way_up_is_half_its_supply():
    """0.5 to 4.5 V of 5 V over 10 bar: 5 bar is 2.5 V, and 2.45 V of a 4.9 V supply."""
    given = signal(
        supply="1",
        volts={
            "of": "5 V",
            "points": [["0 bar", "0.5 V"], ["10 bar", "4.5 V"]],
            "tolerance": "0 %",
        },
    )
    assert at(given, "5 bar", Loop()).volts.nominal == pytest.approx(2.5)
    low = Loop(supply_v=exactly(4.9))
    assert at(given, "500 kPa", low).volts.nominal == pytest.approx(2.45)


def test_span_tolerance_and_supply_tolerance_add_at_their_worst():
    """2.5 V +- 2 % of 4 V is 2.42 to 2.58 V, times 0.99 and 1.01 of the supply."""
    given = signal(
        supply="1", volts={"of": "5 V", "points": [["0 bar", "0.5 V"], ["10 bar", "4.5 V"]]}
    )
    volts = at(given, "5 bar", Loop(supply_v=around(5.0, 0.01))).volts
    assert (volts.low, volts.high) == pytest.approx((2.42 * 0.99, 2.58 * 1.01))


def test_wiper_in_the_middle_of_its_track_has_a_quarter_of_it():
    """Two halves of 500 ohm beside each other are 250 ohm."""
    assert wiper_ohms(1000, 0.5) == pytest.approx(250)
    assert wiper_ohms(1000, 0.0) == wiper_ohms(1000, 1.0) == 0.0


def test_four_to_twenty_milliamps_over_250_ohm_by_hand():
    """12 mA x 250 ohm = 3 V; 1 % of 16 mA and 1 % of 250 ohm make 2.931 and 3.071 V at worst."""
    given = signal(current={"points": [["0 bar", "4 mA"], ["100 bar", "20 mA"]]})
    volts = at(given, "50 bar").volts
    assert volts.nominal == pytest.approx(3.0)
    assert (volts.low, volts.high) == pytest.approx((11.84e-3 * 247.5, 12.16e-3 * 252.5))


def test_fuel_sender_half_way_between_its_points():
    given = signal(ohms={"points": [["0 %", "10 ohm"], ["100 %", "180 ohm"]]})
    assert at(given, "50 %").ohms.nominal == pytest.approx(95)


def test_hall_pickup_pulls_to_what_it_leaves_and_lets_go_to_the_pull_up():
    """10 uA through 2490 ohm take 25 mV from 5 V."""
    pickup = signal(hall={}).hall
    low, high = hall_reading(True, pickup, PULLED).volts, hall_reading(False, pickup, PULLED).volts
    assert low.high == pytest.approx(0.4)
    assert high.low == pytest.approx(4.95 - 1e-5 * 2514.9)
    assert high.high == pytest.approx(5.05)


def test_inductive_pickup_gives_volts_in_proportion_to_speed():
    """Faraday: twice the speed, twice the volts."""
    given = signal(inductive={"ohms": "860 ohm", "volts": "1.5 V", "at": "300 rpm"})
    found = at(given, "600 rpm")
    assert found.alternating
    assert found.volts.nominal == pytest.approx(3.0)
    assert (found.ohms.low, found.ohms.high) == pytest.approx((774, 946))


def test_switch_to_ground_reads_its_leads_closed_and_the_pull_up_open():
    loop = Loop(exactly(1000), exactly(5.0), lead_ohm=1.0)
    assert switch_reading(True, loop).volts.nominal == pytest.approx(5 / 1001)
    assert switch_reading(False, loop).volts.nominal == pytest.approx(5.0, abs=1e-6)


def test_without_a_pull_up_a_resistance_has_no_volts():
    assert at(signal(platinum={}), "0 degC", Loop()).volts is None


@pytest.mark.parametrize(("law", "text"), [("platinum", "3 bar"), ("inductive", "20 degC")])
def test_a_value_in_the_wrong_unit_is_refused(law, text):
    given = signal(**{law: {"ohms": "100 ohm"}})
    with pytest.raises(ValueError, match="is not in"):
        at(given, text)


def test_a_line_goes_on_straight_past_its_ends_and_bends_at_its_points():
    points = [(Measured(0, "bar"), 0.0), (Measured(2, "bar"), 2.0), (Measured(4, "bar"), 6.0)]
    assert [straight(points, Measured(x, "bar")) for x in (-1, 1, 3, 5)] == [-1, 1, 4, 8]


def test_sum_and_ratio_of_double_tracks():
    assert sum_of(Span(1, 2, 3), Span(2, 3, 4)) == Span(3, 5, 7)
    assert ratio_of(Span(3, 4, 5), Span(1, 2, 4)) == Span(0.75, 2.0, 5.0)
    assert ratio_of(exactly(1.0), Span(-0.1, 0.1, 0.2)) is None


shares = st.floats(-1, 1)


@given(
    celsius=st.floats(-40, 140),
    part=shares,
    beta=shares,
    pull_up=shares,
    reference=shares,
    lead=st.floats(0, 5),
    offset=st.floats(-0.1, 0.1),
)
def test_no_part_within_its_tolerance_reads_outside_the_range(
    celsius, part, beta, pull_up, reference, lead, offset
):
    """Any parts inside their tolerances, worked through the same circuit, stay in the range."""
    written = {
        "ohms": "2.5 kohm",
        "at": "20 degC",
        "beta": "3500 K",
        "tolerance": "5 %",
        "beta tolerance": "1 %",
    }
    loop = Loop(around(2490, 0.02), around(5.0, 0.03), lead, offset)
    span = reading(signal(ntc=written), Measured(celsius, "degC"), loop).volts
    kelvin = 1 / (celsius + 273.15) - 1 / 293.15
    ohms = 2500 * (1 + 0.05 * part) * 2.718281828459045 ** (3500 * (1 + 0.01 * beta) * kelvin)
    up, to_v = 2490 * (1 + 0.02 * pull_up), 5.0 * (1 + 0.03 * reference)
    amps = (to_v - offset) / (up + lead + ohms)
    assert span.low - 1e-9 <= to_v - amps * up <= span.high + 1e-9


@given(low=st.floats(1, 10), wide=st.floats(0, 10), x=st.floats(0, 1), y=st.floats(0, 1))
def test_worst_case_of_a_rising_and_falling_function_holds_everything_between(low, wide, x, y):
    span = Span(low, low + wide / 2, low + wide)
    worst = worst_case(lambda a, b: a / b, span, span)
    assert worst.low <= (low + wide * x) / (low + wide * y) <= worst.high


def test_readings_on_the_way_to_hot_always_fall():
    ntc = signal(
        ntc={"points": [["20 degC", "2500 ohm"], ["50 degC", "834 ohm"], ["90 degC", "245 ohm"]]}
    )
    volts = [at(ntc, f"{c} degC").volts.nominal for c in range(-40, 151, 10)]
    assert volts == sorted(volts, reverse=True)


def test_a_potentiometer_reads_its_output_through_its_own_track():
    """1 kohm at half of its 5 V: 2.5 V behind 250 ohm, and 10 ohm of its stage; 2490 ohm to 5 V
    lift that by 2.5 V x 260 / 2750. At either end the track adds nothing."""
    given = signal(
        supply="1",
        volts={
            "of": "5 V",
            "points": [["0 %", "0 V"], ["100 %", "5 V"]],
            "tolerance": "0 %",
            "track": "1 kohm",
            "through": "10 ohm",
        },
    )
    loop = Loop(exactly(2490), exactly(5.0))
    assert at(given, "50 %", loop).volts.nominal == pytest.approx(2.5 + 2.5 * 260 / 2750)
    assert at(given, "0 %", loop).volts.nominal == pytest.approx(5 * 10 / 2500)
    assert at(given, "100 %", loop).volts.nominal == pytest.approx(5.0)

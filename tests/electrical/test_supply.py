"""The supply report: Kirchhoff round the starter, hours by Peukert, spare current by curve."""

import pytest

from buildbook.electrical.supply import accepts_a, supply_report
from buildbook.vehicle.generators import generator_limit_a, hot_curve, hottest_c


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_volts_round_the_starter_add_up_to_the_battery(vehicle, request):
    """Kirchhoff: way there, starter and way back make the volts at the posts; with what is lost
    inside they make the battery's at rest."""
    result = request.getfixturevalue(vehicle)
    (cranking,) = result.supply.cranking
    for there, starter, back in zip(
        cranking.feed_v, cranking.starters, cranking.return_v, strict=True
    ):
        assert there + starter.volts + back == pytest.approx(cranking.battery_v, abs=1e-6)
        assert there > 0
        assert back > 0
    assert cranking.battery_v + cranking.inside_v == pytest.approx(cranking.emf_v)
    ohms = result.vehicle.supply.battery_data.resistance
    assert cranking.inside_v == pytest.approx(cranking.battery_a * ohms, rel=1e-6)


def test_every_controller_stays_awake_while_the_example_cranks(lapwing):
    (cranking,) = lapwing.supply.cranking
    assert {fed.device for fed in cranking.controllers} >= {"ecu", "display", "logger"}
    assert all(fed.volts > fed.works_from_v for fed in cranking.controllers)


def test_stopped_states_last_by_peukert_and_running_ones_for_ever(lapwing):
    """Ignition on by hand: 44 Ah over 20 h, exponent 1.2: 20 (44 / (I 20))^1.2 hours."""
    report = {b.state: b for b in lapwing.supply.balances}
    on = report["ignition on"]
    assert on.flat_h == pytest.approx(20 * (44 / (on.demand_a * 20)) ** 1.2)
    assert on.last_start_h == pytest.approx(on.flat_h / 2)
    off = report["off"]
    assert off.flat_h == pytest.approx(44 / off.demand_a)
    assert report["idle"].flat_h is None


def test_recharging_takes_half_the_battery_at_a_quarter_of_it_an_hour(lapwing):
    """22 Ah at 85 % need 25.9 Ah; 11 A put that in within 2.353 h where 11 A are to spare."""
    report = {b.state: b for b in lapwing.supply.balances}
    assert report["full load"].spare_a > 11
    assert report["full load"].recharge_h == pytest.approx(22 / 0.85 / 11)
    for balance in report.values():
        assert (balance.recharge_h is None) == (balance.spare_a <= 0)


def test_demand_and_charge_make_what_the_alternator_gives(lapwing):
    for balance in lapwing.supply.balances:
        assert balance.demand_a + balance.charging_a == pytest.approx(balance.alternator_a)
        assert balance.alternator_a <= balance.limit_a + 1e-6


def test_day_weighs_each_state_by_its_share(lapwing):
    shares = {n: s.share for n, s in lapwing.vehicle.description.states.items()}
    by_hand = sum(shares[b.state] * b.charging_a for b in lapwing.supply.balances)
    assert lapwing.supply.day_a == pytest.approx(by_hand)


def test_a_vehicle_without_an_alternator_never_recharges(two_wire):
    assert supply_report(two_wire.vehicle, two_wire.solved, two_wire.readings) == two_wire.supply
    assert all(b.recharge_h is None for b in two_wire.supply.balances)
    assert two_wire.supply.cranking == ()


def test_curve_is_straight_between_its_points_and_flat_after_the_last():
    curve = [(1000.0, 20.0), (3000.0, 60.0)]
    assert [generator_limit_a(curve, rpm) for rpm in (900, 1000, 2000, 3000, 9000)] == [
        0.0,
        20.0,
        40.0,
        60.0,
        60.0,
    ]


def test_hot_alternator_gives_less_by_its_share_a_kelvin(motorcycle):
    """0.2 % a kelvin: at 60 degC, 35 K above 25 degC, 7 % are lost."""
    vehicle = motorcycle.vehicle
    alternator = vehicle.supply.generator_data
    hot = alternator.model_copy(update={"per_kelvin": 0.002})
    zone = vehicle.supply.generator.air_c
    assert zone == 60.0
    assert hot_curve(alternator, zone) == alternator.curve
    assert [a for _, a in hot_curve(hot, zone)] == pytest.approx(
        [a * 0.93 for _, a in alternator.curve]
    )
    cold = alternator.model_copy(update={"per_kelvin": 0.002, "curve_at": 120.0})
    assert hot_curve(cold, zone) == alternator.curve


def test_generator_stands_in_the_hottest_zone_that_its_rope_comes_through(motorcycle):
    """The motorcycle's rectifier is at the end of one run, 60 degC under the seat."""
    vehicle = motorcycle.vehicle
    zones = vehicle.description.zones
    assert hottest_c("rectifier", vehicle.runs, zones) == 60.0
    assert hottest_c("engine", vehicle.runs, zones) == 95.0


def test_battery_takes_what_it_says_or_a_quarter_of_its_capacity(lapwing):
    battery = lapwing.vehicle.supply.battery_data
    assert accepts_a(battery) == pytest.approx(11.0)
    assert accepts_a(battery.model_copy(update={"accepts": 18.0})) == 18.0


def test_every_battery_is_balanced_by_itself(two_batteries):
    """Kirchhoff's law for power: what generators give and batteries take is what the rest draws."""
    vehicle = two_batteries.vehicle
    for row in two_batteries.supply.balances:
        assert [one.battery for one in row.batteries] == [s.id for s in vehicle.supply.batteries]
        solution = two_batteries.solved.meter[row.state]
        for one in row.batteries:
            assert one.charging_a == pytest.approx(solution.current_a[one.battery])
        taken_w = sum(one.charging_a * one.volts for one in row.batteries)
        (generator,) = vehicle.supply.generators
        across_v = solution.across(f"{generator.plus_pin}~", f"{generator.minus_pin}~")
        drawn_w = row.alternator_a * across_v - taken_w
        whole_v = sum(one.volts for one in row.batteries)
        assert row.demand_a == pytest.approx(drawn_w / whole_v, rel=0.05, abs=0.05)

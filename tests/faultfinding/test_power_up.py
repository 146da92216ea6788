"""First power-up: the order of the fuses, and what each step shows, against sums by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from buildbook.electrical.ohmmeter import OPEN_OHMS
from buildbook.faultfinding import power_up
from buildbook.faultfinding.fuse_order import BIG, FIRES, ORDINARY, fuse_order
from buildbook.faultfinding.power_up import _telling, isolator_in
from buildbook.faultfinding.still_car import StillCar


def steps(result):
    return {step.fuse: step for step in result.power_up.steps}


def lamp_a(volts, rated_a):
    """Amps of a filament made for 13.5 V: Fink and Beaty, Standard Handbook, 11th ed., 22-8."""
    return rated_a * (volts / 13.5) ** 0.55


def pump_a(volts):
    """Amps of the motorcycle's pump: 4 A running and 10 A held still, both at 13.5 V.

    A constant field: V = 1.35 I + 8.1 x, with x for the share of its speed, 1.35 = 13.5 / 10 ohm
    and 8.1 = 13.5 - 4 x 1.35 V. Half of its torque is steady, half goes by speed squared (the
    book's own choice where nothing is said): I = 2 + 2 x^2.
    """
    speed = brentq(lambda x: 1.35 * (2 + 2 * x**2) + 8.1 * x - volts, 0, 2)
    return 2 + 2 * speed**2


def test_one_loop_is_its_volts_over_its_ohms_added_up(two_wire):
    (step,) = two_wire.power_up.steps
    branches = two_wire.solved.meter["lit"].branches
    battery = 0.008
    beside = ("pin:G1.stud", "ground:G1")  # the lamp returns by wire: the body carries nothing
    leads = [
        b.ohms for b in branches.values() if b.kind not in ("load", "source") and b.id not in beside
    ]
    lost = battery + sum(leads)
    by_hand = brentq(lambda amps: lamp_a(12.7 - amps * lost, rated_a=4.1) - amps, 0, 12.7 / lost)
    assert step.fuse_a == pytest.approx(by_hand, rel=1e-3)
    assert step.battery_a == pytest.approx(by_hand, rel=1e-3)
    assert step.wakes == ("lamp",)


def test_the_two_wire_feed_reads_its_lamp(two_wire):
    (feed,) = two_wire.power_up.feeds
    # A cold filament has a fifteenth to a thirteenth of its ohms when lit (a 40 W lamp 1/12.9).
    assert 13.5 / 4.1 / 15 < feed.ohms < 13.5 / 4.1 / 12.9 + 0.15
    assert two_wire.power_up.main.ohms >= OPEN_OHMS


def test_a_ground_is_its_joint_its_stud_and_its_lead(two_wire):
    (ground,) = two_wire.power_up.grounds
    branches = two_wire.solved.meter["lit"].branches
    lead = next(w for w in two_wire.harness.wires.values() if w.circuit == "battery ground")
    assert {lead.a.node, lead.b.node} == {"battery.-", "G1.stud"}
    assert ground.ohms == pytest.approx(branches[f"wire:{lead.id}"].ohms, rel=1e-3)


def signals_a(volts):
    return lamp_a(volts, rated_a=0.4) + volts / 300


def ignition_a(volts):
    return pump_a(volts) + volts / 67.5


def test_the_motorcycle_takes_what_its_lamps_and_pump_take_by_hand(motorcycle):
    at = steps(motorcycle)
    # Tail lamp and flasher coil of 300 ohm in parallel; then the pump and the controller's 67.5
    # beside them. Leads, contacts, fuses and battery lose up to 4 percent of the volts.
    least_v = 0.96 * 12.7
    assert at["F4"].state == at["F2"].state == "ignition on"
    assert signals_a(least_v) < at["F4"].fuse_a < signals_a(12.7)
    assert ignition_a(least_v) < at["F2"].fuse_a < ignition_a(12.7)
    assert at["F4"].battery_a == pytest.approx(at["F4"].fuse_a, abs=1e-4)
    assert at["F2"].battery_a == pytest.approx(at["F2"].fuse_a + at["F4"].fuse_a, rel=0.02)


def test_main_beam_is_tried_with_its_switch_and_the_engine_still(motorcycle):
    step = steps(motorcycle)["F3"]
    assert (step.state, step.stopped) == ("indicating right", True)
    assert lamp_a(0.95 * 12.7, rated_a=4.5) < step.fuse_a < lamp_a(12.7, rated_a=4.5)
    assert step.reading.volts.nominal < 12.7, "the battery alone feeds it, not the alternator"


def test_the_main_switch_comes_first_and_fuel_and_sparks_last(motorcycle):
    order = [step.fuse for step in motorcycle.power_up.steps]
    assert order[0] == "F1"
    assert order[-1] == "F2"
    assert steps(motorcycle)["F3"].waits_for == ("F1",)


def test_a_step_is_solved_without_the_fuses_that_come_later(motorcycle):
    # The brake lamp's state with everything in takes more than this step's battery gives.
    for step in motorcycle.power_up.steps:
        if step.fuse != motorcycle.power_up.steps[-1].fuse:
            with_all = motorcycle.solved.meter["ignition on"].charging_a
            assert step.state != "ignition on" or step.battery_a < -with_all - 1e-3


def test_on_the_example_a_controller_is_fed_before_what_it_switches(lapwing):
    order = [step.fuse for step in lapwing.power_up.steps]
    assert order.index("F23") < order.index("F21") < order.index("F5")
    risks = [step.risk for step in lapwing.power_up.steps]
    assert risks == sorted(risks)
    assert {s.fuse for s in lapwing.power_up.steps if s.risk == FIRES} == {"F4", "F24", "F25"}
    assert set(order) == {fuse.id for fuse in lapwing.vehicle.all_of("fuse")}


def test_a_display_wakes_with_its_own_feed_and_what_is_not_fitted_never(lapwing):
    """Its resistor has the bus's volts from F23 on, and was said to wake there, unfed."""
    found = steps(lapwing)
    assert {step.fuse for step in found.values() if "display" in step.wakes} == {"F20"}
    assert {step.fuse for step in found.values() if "ecu" in step.wakes} == {"F23"}
    assert not any("diff-temperature" in step.wakes for step in found.values())


def test_nothing_sparks_or_squirts_while_the_engine_is_still(lapwing):
    found = steps(lapwing)
    assert found["F24"].fuse_a < 1e-3
    assert found["F25"].fuse_a < 1e-3


def test_the_limiting_lead_goes_where_a_healthy_vehicle_takes_more(lapwing):
    for step in lapwing.power_up.steps:
        assert step.past_limiter == (max(step.rest_a, step.battery_a) > 4.0)


def test_least_damage_goes_first_and_what_is_needed_before_it():
    damage = {"big": (BIG, 20.0), "small": (ORDINARY, 1.0), "pump": (FIRES, 0.5)}
    needs = {"big": frozenset(), "small": frozenset({"big"}), "pump": frozenset()}
    assert fuse_order(damage, needs) == ("big", "small", "pump")


def test_fuses_that_need_each_other_still_get_an_order():
    damage = {"a": (0, 2.0), "b": (0, 1.0)}
    needs = {"a": frozenset({"b"}), "b": frozenset({"a"})}
    assert fuse_order(damage, needs) == ("b", "a")


@given(st.lists(st.tuples(st.integers(0, 3), st.floats(0, 100)), max_size=8), st.randoms())
def test_every_fuse_comes_after_those_that_it_needs(damages, random):
    names = [f"F{n}" for n in range(len(damages))]
    random.shuffle(names)
    needs = {
        name: frozenset(random.sample(names[:place], random.randint(0, place)))
        for place, name in enumerate(names)
    }
    order = fuse_order(dict(zip(names, damages, strict=True)), needs)
    assert sorted(order) == sorted(names)
    for name in names:
        assert all(order.index(before) < order.index(name) for before in needs[name])


def test_an_isolator_that_a_state_leaves_open_is_said_to_be_open(lapwing):
    vehicle = lapwing.vehicle
    isolator = vehicle.devices["isolator"]
    opened = replace(
        isolator, contacts=tuple(replace(c, states=frozenset()) for c in isolator.contacts)
    )
    without = replace(vehicle, devices={**vehicle.devices, "isolator": opened})
    assert isolator_in(vehicle, "off") == "closed"
    assert isolator_in(without, "off") == "open"


def test_a_vehicle_without_an_isolator_says_nothing_of_one(two_wire):
    assert isolator_in(two_wire.vehicle, two_wire.vehicle.states[0]) == ""


def test_no_dynamo_and_no_magneto_turns_in_a_car_that_stands(positive_earth):
    vehicle = positive_earth.vehicle
    still = StillCar.of(
        vehicle, positive_earth.harness, positive_earth.solved, positive_earth.sensors
    )
    given = {s.id for s in vehicle.supply.sources if s.kind != "battery"}
    assert given == {"dynamo", "magneto"}
    for setting in still.settings:
        assert given <= setting.opened


def test_each_fuse_of_the_hauler_shows_what_hangs_on_it(two_batteries):
    """Its fuel valve is 24 ohm (1 A at 24 V); with its switches at rest nothing else."""
    feeds = {check.fuse: check for check in two_batteries.power_up.feeds}
    assert [*feeds] == ["FA", "FM", "FT", "F1", "F2"]
    assert feeds["F1"].ohms == feeds["F1"].least_ohms == pytest.approx(24.0, rel=0.01)
    assert {f for f, check in feeds.items() if check.ohms < OPEN_OHMS} == {"F1"}
    assert feeds["F2"].least_ohms < 1 and feeds["F2"].state == "running at night"


def test_the_hauler_s_fuses_wake_what_they_feed_and_are_tried_with_the_engine_still(two_batteries):
    found = steps(two_batteries)
    wakes = {fuse: set(step.wakes) for fuse, step in found.items()}
    assert wakes["F1"] == {"fuel-valve"} and wakes["FT"] == {"radio"}
    assert wakes["F2"] == {"front-lamp", "rear-lamp"} and wakes["FA"] == set()
    assert set(found["F2"].feeds) == {"front-lamp", "rear-lamp"}
    assert {f: step.waits_for for f, step in found.items() if step.waits_for} == {
        "F1": ("FM",),
        "F2": ("FM",),
    }
    tried = {fuse: (step.state, step.stopped) for fuse, step in found.items()}
    assert tried["F1"] == tried["FT"] == ("ready", False)
    assert tried["F2"] == ("running at night", True)


def test_the_battery_gives_what_all_fuses_carry_that_are_in(two_batteries):
    """24 ohm of valve, 2 A of radio on the lower battery; then two lamps of 2.9 A at 24 V."""
    found = steps(two_batteries)
    valve_a, radio_a = found["F1"].fuse_a, found["FT"].fuse_a
    assert valve_a == pytest.approx(25.2 / 24.1, rel=0.01)
    assert radio_a == pytest.approx(2.0, rel=0.05)
    assert found["F1"].battery_a == pytest.approx(valve_a, abs=1e-3)
    assert found["FT"].battery_a == pytest.approx(valve_a + radio_a, rel=0.01)
    assert found["F2"].fuse_a == pytest.approx(2 * 2.9 * (24.5 / 24) ** 0.55, rel=0.02)
    assert found["FM"].rest_a < 1e-3 and not found["FM"].past_limiter
    assert found["F2"].past_limiter


def test_electronics_are_seen_to_work_by_what_feeds_them():
    """A controller by the load on its feed; a lamp by whatever it has."""
    feed, bus = SimpleNamespace(from_pin="c.1"), SimpleNamespace(from_pin="c.2")
    vehicle = SimpleNamespace()
    judged = {id(feed): False, id(bus): True}

    def telling(power, *loads):
        device = SimpleNamespace(written=SimpleNamespace(power=power), loads=loads)
        return _telling(vehicle, device)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(power_up, "is_signal", lambda _vehicle, load: judged[id(load)])
        assert telling(True, bus, feed) == (feed,)
        assert telling(True, bus) == (bus,)
        assert telling(None, bus, feed) == (bus, feed)

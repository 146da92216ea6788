"""What is the wrong way round or in another's place, and what works though it should not.

What a reversed or crossed part does is the trade's knowledge (V = I R + k n: a permanent-magnet
motor's speed takes the sign of its volts), not read from the program.
"""

from __future__ import annotations

import pytest


def done(lapwing, fault: str) -> dict[str, set[str]]:
    """Load -> effects of a fault of the example, over all states."""
    found: dict[str, set[str]] = {}
    for effect in lapwing.faultfinding.effects[fault]:
        found.setdefault(effect.load, set()).add(effect.effect)
    return found


@pytest.mark.parametrize("pins", ["fuel-pump", "fan-left", "fan-right", "washer", "wiper"])
def test_a_motor_with_its_pins_changed_over_runs_backwards(lapwing, pins):
    assert done(lapwing, f"swap {pins}.1 {pins}.2") == {pins: {"runs backwards"}}


@pytest.mark.parametrize("fault", ["swap throttle.1 throttle.2", "swap ecu.A12 ecu.A13"])
def test_the_throttle_turns_the_other_way(lapwing, fault):
    assert done(lapwing, fault)["throttle.1"] == {"runs backwards"}


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_a_coil_with_its_feed_on_the_ground_pin_is_dead(lapwing, number):
    coil = f"coil-{number}"
    assert done(lapwing, f"swap {coil}.1 {coil}.2")[f"{coil}.1"] == {"dead"}


def test_a_transmitter_lets_no_current_back(lapwing):
    seen = done(lapwing, "swap brake-pressure.1 brake-pressure.2")
    assert seen.pop("brake-pressure") == {"wrong reading"}
    assert seen == {"ecu.A28": {"dead"}}, "the resistor that it feeds in the controller"


@pytest.mark.parametrize(
    ("fault", "crossed"),
    [
        ("swap ecu.A3 ecu.A4", {"injector-1", "injector-2"}),
        ("swap ecu.A6 ecu.A7", {"injector-4", "injector-5"}),
        ("swap ecu.A14 ecu.A15", {"coil-1.3", "coil-2.3"}),
    ],
)
def test_outputs_of_two_cylinders_are_crossed(lapwing, fault, crossed):
    assert done(lapwing, fault) == dict.fromkeys(crossed, {"crossed"})


def test_crank_and_cam_are_read_for_each_other(lapwing):
    assert done(lapwing, "swap ecu.B5 ecu.B6") == {
        "crank-sensor.2": {"wrong reading"},
        "cam-sensor.2": {"wrong reading"},
    }


@pytest.mark.parametrize(
    "fault",
    [
        "swap horn-low.1 horn-low.2",
        "swap rain-lamp.1 rain-lamp.2",
        "swap injector-1.1 injector-1.2",
        "swap coolant-temperature.1 coolant-temperature.2",
    ],
)
def test_what_has_no_direction_is_silent_and_says_so(lapwing, fault):
    (why,) = (s.why for s in lapwing.faultfinding.unseen if s.fault == fault)
    assert why == "it works either way round"


@pytest.mark.parametrize(
    ("fault", "load", "state"),
    [
        ("short wire:508a", "injector-3", "ignition on"),
        ("short wire:508a", "injector-3", "idle"),
        ("short wire:817a", "horn-low", "off"),
        ("stuck contact:ecu.A5", "injector-3", "idle"),
        ("stuck contact:K5.30-87", "fan-right", "off"),
    ],
)
def test_what_works_though_it_should_not_is_a_symptom(lapwing, fault, load, state):
    found = [e for e in lapwing.faultfinding.effects[fault] if (e.load, e.state) == (load, state)]
    assert [effect.effect for effect in found] == ["stuck on"]
    assert any(fault in symptom.suspects for symptom in lapwing.faultfinding.symptoms)


def test_ohms_part_a_wire_on_the_body_from_an_output_that_does_not_switch_off(lapwing):
    fault = "stuck contact:ecu.A5"
    (symptom,) = (s for s in lapwing.faultfinding.symptoms if fault in s.suspects)
    last = [step.high for step in symptom.steps if step.what == "ohms"][-1]
    assert last == (fault,) and len(symptom.suspects) == 3


def test_a_sensor_below_half_a_volt_is_not_taken_for_one_that_is_off(lapwing):
    """Oil pressure at rest is 0.5 V; its wire open lets the controller's pull-up show."""
    assert done(lapwing, "open pin:oil-pressure.2")["oil-pressure.2"] == {"wrong reading"}


def test_a_stalk_with_left_on_right_indicates_right_for_left(lapwing):
    sides = {f"indicator-{end}-{side}" for end in ("front", "rear") for side in ("left", "right")}
    assert done(lapwing, "swap column-stalk.5 column-stalk.6") == dict.fromkeys(sides, {"crossed"})

"""What a controller does without a sensor: in the effects, the symptoms and unplugged."""

from __future__ import annotations

import numpy as np

from buildbook.book.fault_wording import losses
from buildbook.faultfinding.effects import Consequence, SeenLoads, effects_in_state
from buildbook.faultfinding.model import Fault
from tests.checks import minimal as m

FAULT = Fault("open wire:101", "wire", "wire:101", "wire 101 open")


def place(*names: int) -> np.ndarray:
    return np.array(names, dtype=np.intp)


def effects(probe_v: float, controller_v: float, states=("on",)) -> set[tuple[str, str]]:
    """A probe at 2.5 V (0), a coil at 12 V (1), a fan at rest (2), the controller at 12 V (3)."""
    names = ("probe", "coil", "fan", "controller")
    loads = tuple(m.load(x, f"{x}.1", f"{x}.2", 1.0, works_from_v=0.5) for x in names)
    follows = Consequence(place(0), place(1), place(2), place(3), frozenset(states))
    seen = SeenLoads(
        loads,
        place(0, 1, 2, 3),
        place(-1, -1, -1, -1),
        np.array([0.2, 6.0, 6.0, 6.0]),
        {x: n for n, x in enumerate(names)},
        np.array([True, False, False, False]),
        (follows,),
    )
    healthy = np.array([2.5, 12.0, 0.0, 12.0, 0.0])
    faulted = np.array([[probe_v, 12.0, 0.0, controller_v, 0.0]])
    return {(e.load, e.effect) for e in effects_in_state("on", seen, healthy, faulted, [FAULT])[0]}


def test_without_its_sensor_the_controller_leaves_off_and_leaves_on():
    wanted = {("probe", "wrong reading"), ("coil", "dead"), ("fan", "stuck on")}
    assert effects(0.0, 12.0) == wanted


def test_a_sensor_that_only_reads_wrong_is_not_lost():
    assert effects(1.5, 12.0) == {("probe", "wrong reading")}


def test_a_controller_without_power_leaves_nothing_on():
    assert ("fan", "stuck on") not in effects(0.0, 0.0)


def test_nothing_follows_in_other_states():
    assert effects(0.0, 12.0, states=("off",)) == {("probe", "wrong reading")}


def of(result, fault: str, state: str) -> dict[str, str]:
    return {e.load: e.effect for e in result.faultfinding.effects[fault] if e.state == state}


def test_a_crank_sensor_unplugged_at_its_signal_stops_spark_and_fuel(lapwing):
    found = of(lapwing, "open pin:crank-sensor.2", "cranking")
    for n in range(1, 6):
        assert found[f"coil-{n}.1"] == found[f"injector-{n}"] == "dead"
    assert "starter" not in found
    named = {n.name: n for n in lapwing.faultfinding.complaints}["cranks but does not fire"]
    leads = {f for look in named.patterns for lead in look.leads for f in lead.faults}
    assert {"open pin:crank-sensor.2", "open load:crank-sensor.2"} <= leads


def test_a_coolant_sensor_without_contact_runs_both_fans_while_the_controller_is_awake(lapwing):
    found = of(lapwing, "open pin:coolant-temperature.1", "ignition on")
    assert found["fan-left"] == found["fan-right"] == "stuck on"
    for fault in ("open battery", "open fuse:F23"):
        dead = of(lapwing, fault, "ignition on")
        assert "stuck on" not in (dead.get("fan-left"), dead.get("fan-right"))


def test_the_engine_stops_with_the_crank_sensor_unplugged(lapwing):
    assert lapwing.unplugged["crank-sensor"].stops
    assert not lapwing.unplugged["cam-sensor"].stops


def test_words_alone_are_said_too(lapwing):
    effects = lapwing.faultfinding.effects["open pin:cam-sensor.2"]
    assert losses(lapwing, effects) == (
        "Without the cam signal it cranks longer before it starts, and runs with all injectors "
        "together",
    )

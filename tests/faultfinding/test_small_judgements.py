"""What a fuse can do, what turns the wrong way, joints that get hot: each judged by hand."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.faultfinding.at_work import goes_dark
from buildbook.faultfinding.direction import is_one_way, runs_backwards
from buildbook.faultfinding.fuse_order import own_a, risk
from buildbook.faultfinding.heat import Joints
from buildbook.faultfinding.model import Fault


def car(kind="lamp", caution=None, amps=(4.0, 5.0), loads=2):
    """A car of one fuse, whose device has loads that take these amps in two states."""
    device = SimpleNamespace(kind=kind, written=SimpleNamespace(caution=caution))
    own = [SimpleNamespace(id=f"x{i}", device="x") for i in range(loads)]
    meter = {
        state: SimpleNamespace(current_a={f"load:x{i}": -a for i in range(loads)})
        for state, a in zip(("on", "night"), amps, strict=True)
    }
    return SimpleNamespace(
        vehicle=SimpleNamespace(devices={"x": device}),
        own={"F1": own},
        solved=SimpleNamespace(meter=meter),
    )


def test_the_most_that_the_loads_of_a_fuse_take_at_once():
    assert own_a(car(), "F1") == 10.0
    assert own_a(car(amps=(0.0, 1.5)), "F1") == 3.0


@pytest.mark.parametrize(
    ("made", "worst"),
    [
        ({}, 0),
        ({"amps": (5.01, 0.0)}, 1),
        ({"kind": "motor"}, 2),
        ({"kind": "starter"}, 2),
        ({"caution": "moving"}, 2),
        ({"caution": "cranking"}, 2),
        ({"kind": "injector"}, 3),
        ({"kind": "ignition coil"}, 3),
        ({"kind": "motor", "caution": "fuel"}, 3),
        ({"caution": "hot"}, 0),
    ],
)
def test_the_worst_that_something_behind_a_fuse_can_do(made, worst):
    assert risk(car(**made), "F1") == worst


@pytest.mark.parametrize(
    ("healthy_v", "volts", "dark"), [(12, 0, True), (12, 11, False), (0, 0, False), (12, 12, False)]
)
def test_what_has_next_to_no_volts_left_is_dark(healthy_v, volts, dark):
    assert goes_dark(healthy_v, volts) is dark


def load(like=None, duty=1.0, control=None):
    behaviour = SimpleNamespace(like=like) if like else None
    return SimpleNamespace(behaviour=behaviour, duty=duty, control=control)


def device(kind, pins=2, senses=None):
    return SimpleNamespace(kind=kind, pins=range(pins), written=SimpleNamespace(senses=senses))


def test_a_motor_with_magnets_turns_backwards_and_nothing_else_does():
    assert runs_backwards(device("motor"), load("motor"))
    assert not runs_backwards(device("motor"), load("resistor"))
    assert runs_backwards(device("motor"), load(duty=0.3)), "a driver pulses it: it is a motor"
    assert not runs_backwards(device("motor"), load())
    assert not runs_backwards(device("starter"), load("motor"))


def test_electronics_do_nothing_with_minus_where_plus_belongs():
    assert is_one_way(device("lamp"), load(control=("1", "2")))
    assert not is_one_way(device("lamp"), load())
    assert is_one_way(device("ignition coil", pins=3), load())
    assert not is_one_way(device("ignition coil", pins=2), load())
    assert is_one_way(device("sensor", senses="hall"), load())
    assert is_one_way(device("sensor", senses="pressure"), load())
    assert not is_one_way(device("sensor", senses="ntc"), load())
    assert is_one_way(device("sensor", senses="ntc"), load("transmitter"))
    assert not is_one_way(device("motor"), load("transmitter"))


JOINTS = Joints({"pin:a": 0.1, "pin:pulsed": 0.1, "pin:off": 0.1}, frozenset({"on"}))


def hot(volts, branch="pin:a", mode="resistive", ohms=2.0, state="on"):
    """One joint between the nodes a and b of a state, the volts of both given."""
    branches = {
        "pin:a": SimpleNamespace(while_on_ohms=None),
        "pin:pulsed": SimpleNamespace(while_on_ohms=0.1),
        "pin:unknown": SimpleNamespace(while_on_ohms=None),
    }
    network = SimpleNamespace(
        state=state,
        nodes=("a", "b"),
        healthy=SimpleNamespace(branches=branches),
        ends_of=lambda _: ("a", "b"),
    )
    fault = Fault("f", "pin", branch, "", mode, ohms)
    other = Fault("g", "pin", "pin:a", "", "open", ohms)
    return JOINTS.hot(network, np.array([[12, 0, 0], [*volts, 0]]), [other, fault])


def test_a_poor_joint_is_as_hot_as_its_watts_over_what_its_wires_carry_off():
    """4 V over 2 ohm are 8 W; a tenth of a watt a kelvin makes 80 K of them."""
    (found,) = hot((10.0, 6.0)).items()
    assert found[0] == 1, "its place among the faults"
    assert (found[1].state, found[1].watts) == ("on", pytest.approx(8.0))
    assert found[1].rise_k == pytest.approx(80.0)
    assert hot((6.0, 10.0)).keys() == {1}, "whichever way the current flows"


def test_under_fifty_kelvin_nobody_notices_it():
    """5 W over 0.1 W a kelvin are 50 K: 3.162 V across 2 ohm."""
    assert hot((10.0, 10 - 3.17)).keys() == {1}
    assert hot((10.0, 10 - 3.15)).keys() == set()


@pytest.mark.parametrize(
    "more",
    [
        {"mode": "open"},
        {"state": "cranking"},
        {"branch": "pin:pulsed"},
        {"branch": "pin:off"},
        {"branch": "pin:unknown"},
    ],
)
def test_what_carries_no_steady_current_for_long_gets_not_hot(more):
    assert hot((12.0, 0.0), **more) == {}

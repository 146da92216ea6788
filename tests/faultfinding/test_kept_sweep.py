"""A sweep kept as arrays comes back as it was; what was not written so comes back as nothing."""

from __future__ import annotations

from dataclasses import fields, replace
from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.faultfinding.bus import BusReadings, bus_from_facts, bus_to_facts
from buildbook.faultfinding.charging import charging_faults
from buildbook.faultfinding.model import Blown, Fault, Hot, Unsettled
from buildbook.faultfinding.sweep import Sweep
from buildbook.faultfinding.sweep_arrays import from_arrays, to_arrays
from buildbook.faultfinding.unplugged import busiest_states
from buildbook.faultfinding.unsure import unsure_loads

A = Fault("open wire:1", "wire", "wire:1", "wire 1 open")
B = Fault("resistive pin:x.1", "pin", "pin:x.1", "x.1 poor", "resistive", 2.0)
BUS = BusReadings(
    ("a.1", "b.1"),
    ("a.2", "b.2"),
    ("bus ohms", "bus ohms unplugged"),
    np.array([60.0, 90.0]),
    np.array([5.9, 6.9]),
    {A.id: np.array([6.9, 20.0])},
    frozenset({"a.1", "a.2"}),
)
KEPT = Sweep(
    (A, B),
    ("one", "two"),
    "zero",
    {"off": np.array([0.0, 0.0, 0.0]), "on": np.array([12.0, 11.0, 0.0])},
    {"off": np.zeros((2, 3)), "on": np.array([[12.0, 11.0, 0.0], [12.0, 3.0, 0.0]])},
    {A.id: (Blown("F1", "on", 90.0), Blown("", "off", 9.0))},
    {B.id: (Unsettled.of("on", ["contact:K2", "contact:K1"]),)},
    {"on": frozenset({"lamp", "horn"})},
    {B.id: (Hot("on", 4.0, 35.0),)},
    {"on": frozenset({"one"})},
    BUS,
    {"F1": 0.004},
    {"on": frozenset({"two"})},
    {"off": frozenset({"one", "two"})},
)


def same_bus(one, other):
    assert one is not None and other is not None
    for part in fields(BusReadings):
        mine, its = getattr(one, part.name), getattr(other, part.name)
        if part.name == "broken":
            assert mine.keys() == its.keys()
            assert all(np.array_equal(mine[fault], its[fault]) for fault in mine)
        elif isinstance(mine, np.ndarray):
            assert np.array_equal(mine, its), part.name
        else:
            assert mine == its, part.name


def test_a_sweep_comes_back_as_it_was():
    back, beside = from_arrays(to_arrays(KEPT, {"made": "today"}))
    assert beside == {"made": "today"}
    for part in fields(Sweep):
        mine, its = getattr(KEPT, part.name), getattr(back, part.name)
        if part.name in ("healthy", "faulted"):
            assert [*mine] == [*its]
            assert all(np.array_equal(mine[state], its[state]) for state in mine), part.name
        elif part.name == "bus":
            same_bus(mine, its)
        else:
            assert mine == its, part.name


def test_only_rows_that_differ_from_the_healthy_car_are_kept():
    arrays = to_arrays(KEPT, {})
    assert arrays["rows0"].tolist() == []
    assert arrays["rows1"].tolist() == [1]
    assert arrays["faulted1"].tolist() == [[12.0, 3.0, 0.0]]


@pytest.mark.parametrize("name", ["facts", "healthy0", "rows1", "faulted1"])
def test_without_one_of_its_arrays_nothing_comes_back(name):
    arrays = to_arrays(KEPT, {})
    del arrays[name]
    assert from_arrays(arrays) is None


@pytest.mark.parametrize("bad", [np.nan, np.inf])
@pytest.mark.parametrize("name", ["healthy1", "faulted1"])
def test_volts_that_are_no_numbers_are_not_taken(name, bad):
    arrays = to_arrays(KEPT, {})
    arrays[name] = np.full_like(arrays[name], bad)
    assert from_arrays(arrays) is None


def test_volts_of_another_number_of_nodes_are_not_taken():
    arrays = to_arrays(KEPT, {})
    arrays["healthy0"] = np.zeros(4)
    arrays["faulted0"] = np.zeros((0, 4))
    assert from_arrays(arrays) is None


def test_a_bus_comes_back_and_none_stays_none():
    same_bus(BUS, bus_from_facts(bus_to_facts(BUS)))
    assert bus_to_facts(None) is None
    assert bus_from_facts(None) is None
    assert BUS.of([B, A]).tolist() == [[5.9, 6.9], [6.9, 20.0]]


def test_a_state_is_sure_where_nothing_buzzes_in_it():
    assert not KEPT.sure([], "on"), "a lamp is unsure though all is well"
    calm = replace(KEPT, unsure={})
    assert calm.sure([A.id], "on")
    assert not calm.sure([A.id, B.id], "on")
    assert calm.sure([B.id], "off")


def test_a_battery_that_nothing_charges_lasts_by_peukert(two_batteries):
    """12.6 V behind 5 milliohm at 12.5 V gives 20 A: of 90 Ah over 20 h that leaves, with exponent
    1.2, 20 (90 / (20 x 20))^1.2 hours, and half of it for a start."""
    nodes = ("lower.+~", "lower.-~")
    rest = np.array([12.6, 0.0, 0.0])
    healthy = {state: rest for state in two_batteries.vehicle.states}
    healthy |= {state: np.array([14.1, 0.0, 0.0]) for state in ("running", "running at night")}
    each = np.array([[12.5, 0, 0], [12.596, 0, 0], [14.1, 0, 0], [12.5, 0, 0], [12.594, 0, 0]])
    names = ("alternator", "wire:1", "wire:2", "lower", "wire:3")
    faults = [Fault(f"open {name}", "x", name, "") for name in names]
    faulted = {state: each for state in two_batteries.vehicle.states}
    found = charging_faults(two_batteries.vehicle, nodes, healthy, faulted, faults)
    assert found.keys() == {"open alternator", "open wire:3"}, "0.8 A is as good as kept"
    assert [c.state for c in found["open alternator"]] == ["running", "running at night"]
    drained = found["open alternator"][0]
    assert (drained.battery_v, drained.healthy_v) == (12.5, 14.1)
    assert drained.drain_a == pytest.approx(20.0)
    flat_h = 20 * (90 / 400) ** 1.2
    assert drained.flat_h == pytest.approx(flat_h)
    assert drained.last_start_h == pytest.approx(flat_h / 2)


class Standing:
    """A state of a network: what buzzes, and the volts with it open and closed."""

    def __init__(self, unsettled, opened, closed):
        self.healthy = SimpleNamespace(
            unsettled=frozenset(unsettled), volts=opened, across=across_of(opened)
        )
        self.closed = closed

    def solution_of(self, case):
        assert case.closed == self.healthy.unsettled
        return SimpleNamespace(volts=self.closed, across=across_of(self.closed))


def across_of(volts):
    return lambda a, b: volts[a] - volts[b]


def test_loads_that_a_buzzing_contact_moves_by_a_tenth_of_a_volt_are_unsure():
    def load(name):
        return SimpleNamespace(id=name, from_pin=f"{name}.1", to_pin="chassis")

    names = ("much", "little", "gone")
    vehicle = SimpleNamespace(
        devices={name: SimpleNamespace(loads=(load(name),)) for name in names},
        supply=SimpleNamespace(sources=(SimpleNamespace(id="battery"),)),
    )
    opened = {"much.1~": 12.0, "little.1~": 12.0, "chassis": 0.0}
    closed = {"much.1~": 11.75, "little.1~": 11.95, "chassis": 0.0}
    found = unsure_loads(
        vehicle,
        {
            "calm": Standing((), opened, closed),
            "buzzing": Standing(("contact:K1",), opened, closed),
            "flat": Standing(("battery", "contact:K1"), opened, closed),
        },
    )
    assert found == {"buzzing": {"much"}, "flat": {"much", "little", "gone"}}


def test_the_busiest_states_are_those_with_most_current_through_the_pins(two_batteries):
    """The cabin lamp's feed carries nothing but at night, the fuel valve's whenever the isolator is
    closed: of equal states the first, and cranking is neither still nor running."""
    at = two_batteries
    lamp = busiest_states(at.vehicle, at.solved, frozenset({"pin:cabin-lamp.1"}))
    assert lamp == ("off", "running at night")
    valve = busiest_states(at.vehicle, at.solved, frozenset({"pin:fuel-valve.1"}))
    assert valve[0] == "ready"
    assert valve[1] in ("running", "running at night")
    assert busiest_states(at.vehicle, at.solved, frozenset({"pin:nowhere"})) == ("off", "running")

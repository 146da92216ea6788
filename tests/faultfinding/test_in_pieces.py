"""What a large vehicle's faults are worked out in, in pieces, on small ones: the same is found."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import pytest

from buildbook.electrical import faults as networks
from buildbook.electrical import readings
from buildbook.faultfinding import breaking, questions, tree
from buildbook.faultfinding.find import find_faults
from buildbook.faultfinding.power_up import power_up
from buildbook.faultfinding.sensor_levels import End
from buildbook.faultfinding.sweep import sweep
from buildbook.faultfinding.unplugged import unplugged

SMALL = (
    (networks, "MOST_AT_ONCE", 7),
    (breaking, "MOST_HELD", 1500),
    (breaking, "SHORTED", 3),
    (questions, "MOST_ASKED", 40),
    (tree, "MOST_TRIED", 40),
    (readings, "AT_ONCE", 2),
)
VEHICLES = ("two_wire", "positive_earth", "two_batteries")


def alike(one: Any, other: Any, to: float) -> bool:
    """The same, numbers to so much."""
    if isinstance(one, float):
        return one == pytest.approx(other, rel=to, abs=to)
    if is_dataclass(one):
        names = [field.name for field in fields(one)]
        return all(alike(getattr(one, name), getattr(other, name), to) for name in names)
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(alike(one[key], other[key], to) for key in one)
    if isinstance(one, (tuple, list)):
        return len(one) == len(other) and all(map(alike, one, other, [to] * len(one)))
    return bool(one == other)


def all_of(result) -> tuple[Any, ...]:
    parts = result.vehicle, result.harness, result.solved
    return (
        find_faults(result.vehicle, result.harness, result.sizing, result.solved),
        power_up(*parts, result.sensors),
        unplugged(*parts, result.sensors),
    )


@pytest.mark.parametrize("name", VEHICLES)
def test_in_small_pieces_the_same_is_found(name, request, monkeypatch):
    result = request.getfixturevalue(name)
    for module, limit, small in SMALL:
        monkeypatch.setattr(module, limit, small)
    whole = result.faultfinding, result.power_up, result.unplugged
    assert alike(whole, all_of(result), 1e-9)


@pytest.mark.parametrize("name", VEHICLES)
def test_in_single_precision_volts_are_the_same_to_a_ten_thousandth(name, request, monkeypatch):
    result = request.getfixturevalue(name)
    parts = result.vehicle, result.harness, result.sizing, result.solved
    whole = sweep(*parts)
    monkeypatch.setattr(breaking, "MOST_EXACT", 0)
    single = sweep(*parts)
    for state, volts in whole.faulted.items():
        assert single.faulted[state].dtype == np.float32
        assert np.abs(single.faulted[state] - volts).max() < 1e-4
    assert (single.blown, single.heat, single.unsure) == (whole.blown, whole.heat, whole.unsure)
    found = find_faults(*parts)
    assert {f for f, e in found.effects.items() if e} == {
        f for f, e in result.faultfinding.effects.items() if e
    }


@pytest.mark.parametrize("name", VEHICLES)
def test_of_the_nodes_that_are_asked_the_volts_are_those_of_all(name, request):
    result = request.getfixturevalue(name)
    parts = result.vehicle, result.harness, result.sizing, result.solved
    every, asked = sweep(*parts), sweep(*parts, everywhere=False)
    assert {*asked.nodes} < {*every.nodes}
    places = [*(every.nodes.index(node) for node in asked.nodes), -1]
    for state, volts in every.faulted.items():
        assert np.array_equal(volts[:, places], asked.faulted[state])
        assert np.array_equal(every.healthy[state][places], asked.healthy[state])


def test_an_end_is_the_sweep_s_but_at_nodes_of_its_own():
    volts = np.array([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]])
    end = End(volts, -1, np.array([-1, 0, -1]), np.array([[20.0], [50.0]]))
    assert (end[0, 0], end[0, 1], end[1, 1], end[1, 2]) == (-1.0, 20.0, 50.0, -6.0)
    assert end[np.ix_([1, 0], [1, 2])].tolist() == [[50.0, -6.0], [20.0, -3.0]]
    assert end[[0, 1], 1].tolist() == [20.0, 50.0]
    assert end[1, [0, 1]].tolist() == [-4.0, 50.0]
    plain = End(volts, 1, np.full(3, -1), np.zeros((2, 0)))
    assert plain[np.ix_([1], [0, 2])].tolist() == [[4.0, 6.0]]

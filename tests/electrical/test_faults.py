"""Faults of a whole vehicle against a network solved without the part."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from buildbook.description.read import read_folder
from buildbook.electrical.case import Case
from buildbook.electrical.faults import networks_of
from buildbook.electrical.network import build_network
from buildbook.electrical.settle import Settler
from buildbook.harness.build import build_harness
from buildbook.vehicle.join import join

MOTORCYCLE = Path(__file__).parents[1] / "vehicles" / "motorcycle"
OHM_PER_M = 0.0133
"""1.5 mm2, IEC 60228 class 5."""


@pytest.fixture(scope="module")
def network():
    reading, _ = read_folder(MOTORCYCLE)
    vehicle, _ = join(reading)
    harness, _ = build_harness(vehicle)
    ohms = {i: w.cut_m * OHM_PER_M for i, w in harness.wires.items()}
    return build_network(vehicle, harness, ohms, {})


@pytest.mark.parametrize("state", ["riding", "cranking"])
def test_every_single_open_equals_a_full_solution_without_the_branch(network, state):
    faulty = networks_of(network)[state]
    names = [b for b in faulty.branch_ids() if b not in ("battery", "alternator")]
    assert len(names) > 100
    for name in names[::7]:
        left = tuple(e for e in network.elements if e.branch.id != name)
        expected = Settler(replace(network, elements=left)).settle([Case(state)]).volts[:, 0]
        assert np.abs(faulty.open_array([name]) - expected).max() < 1e-6, name


def test_two_opens_at_once_equal_a_full_solution_without_both(network):
    faulty = networks_of(network)["riding"]
    gone = [b for b in faulty.branch_ids() if b.startswith(("fuse:", "wire:"))][3:30:13]
    left = tuple(e for e in network.elements if e.branch.id not in gone)
    expected = Settler(replace(network, elements=left)).settle([Case("riding")]).volts[:, 0]
    assert np.abs(faulty.open_array(gone) - expected).max() < 1e-6


def test_open_battery_leaves_the_alternator_to_carry_on(network):
    faulty = networks_of(network)["riding"]
    found = faulty.solution(["battery"])
    assert found.alternator_a > 0
    assert found.charging_a == 0.0


def test_currents_at_every_node_sum_to_nothing(network):
    """Kirchhoff's first law at every node of every state."""
    settler = Settler(network)
    cases = [Case(state) for state in network.states]
    settled = settler.settle(cases)
    for column in range(len(cases)):
        solution = settler.solution(cases, settled, column)
        into = dict.fromkeys(solution.volts, 0.0)
        for branch in solution.branches.values():
            into[branch.a] -= solution.current_a[branch.id]
            into[branch.b] += solution.current_a[branch.id]
        into.pop(network.reference)
        worst = max(into, key=lambda node: abs(into[node]))
        assert abs(into[worst]) < 1e-6, worst

"""One branch altered, the rest kept, against the whole solved anew and against sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from buildbook.electrical.case import METER, Case
from buildbook.electrical.elimination import Elimination
from buildbook.electrical.faults import networks_of
from buildbook.electrical.network import build_network, network_ohms
from buildbook.electrical.settle import Settler
from buildbook.electrical.updating import Updating
from tests.electrical.networks import by_chance


def altered(
    ends: list[tuple[int, int]],
    nodes: int,
    siemens: list[float],
    amps: list[float],
    changes: list[tuple[int, float]],
) -> np.ndarray:
    updating = Updating(Elimination(nodes, ends), ends)
    row, value = np.array([r for r, _ in changes]), np.array([v for _, v in changes])
    of = np.zeros(len(changes), dtype=int)
    one = np.array(siemens)[:, None], np.array(amps)[:, None]
    return updating.solve(*one, of, row, value)


def test_a_divider_with_each_of_its_branches_opened_by_hand():
    # 12 V behind 1 ohm feeds node 0; 1 ohm to node 1; 2 ohm from there to the reference.
    ends, siemens = [(0, -1), (0, 1), (1, -1)], [1.0, 1.0, 0.5]
    whole, *opened = altered(
        ends, 2, siemens, [12.0, 0.0], [(-1, 0.0), (0, 0.0), (1, 0.0), (2, 0.0), (2, 1.0)]
    ).T
    assert whole == pytest.approx([9.0, 6.0])
    assert opened[1] == pytest.approx([12.0, 0.0], abs=1e-7), "nothing beyond the break"
    assert opened[2] == pytest.approx([12.0, 12.0]), "no current, no drop"
    assert opened[3] == pytest.approx([8.0, 4.0]), "three ohms alike in a row"


@pytest.mark.parametrize("seed", range(20))
def test_any_branch_opened_or_altered_is_as_if_solved_whole(seed):
    chance = np.random.default_rng(seed)
    nodes, ends, siemens = by_chance(chance, most_nodes=40, cases=3)
    amps = np.where(chance.random((nodes, 3)) > 0.7, 1e3 * chance.random((nodes, 3)), 0.0)
    of, row = chance.integers(0, 3, 200), chance.integers(-1, len(ends), 200)
    value = np.where(chance.random(200) < 0.5, 0.0, 10 ** chance.uniform(-7, 3, 200))
    elimination = Elimination(nodes, ends)
    found = Updating(elimination, ends).solve(siemens, amps, of, row, value)
    whole, own = siemens[:, of], np.flatnonzero(row >= 0)
    whole[row[own], own] = value[own]
    expected = elimination.solve(whole, amps[:, of])
    assert found == pytest.approx(expected, rel=1e-10, abs=1e-12)


def test_only_what_is_wanted_is_given_with_all_that_it_needs():
    ends, siemens = [(0, -1), (0, 1), (1, -1), (1, 2), (2, -1)], np.ones((5, 1))
    updating = Updating(Elimination(3, ends), ends)
    amps, none = np.array([[1.0], [0.0], [0.0]]), np.zeros(1)
    of, row = np.zeros(1, dtype=int), np.array([1])
    every = updating.solve(siemens, amps, of, row, none)
    for node in range(3):
        wanted = updating.closure([node])
        some = updating.solve(siemens, amps, of, row, none, wanted)
        assert wanted[node]
        assert some[:, 0] == pytest.approx(every[wanted[:-1], 0], rel=1e-15)


def test_cases_that_share_networks_settle_as_each_alone(motorcycle):
    ohms = network_ohms(motorcycle.solved)
    network = build_network(motorcycle.vehicle, motorcycle.harness, *ohms)
    settler = Settler(network)
    cases = [
        Case(state, METER, **change)
        for state, healthy in networks_of(network).items()
        for branch in [*healthy.branch_ids(), *(e.branch.id for e in network.elements[::5])]
        for change in (
            {"opened": frozenset({branch})},
            {"opened": frozenset({branch, "fuse:F2"})},
            *(
                [{"closed": frozenset({branch})}, {"ohms": {branch: 2.0}}]
                if branch in settler.prepared.row
                else []
            ),
        )
    ]
    assert len(cases) > 500
    assert np.abs(settler.settle_sharing(cases)[0] - settler.settle(cases).volts).max() < 1e-6

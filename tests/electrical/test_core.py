"""What moves solved alone, the rest removed once, against the whole solved and sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from buildbook.electrical.core import Core
from buildbook.electrical.elimination import Elimination
from tests.electrical.networks import by_chance


def solved(ends, nodes, moving, seen, siemens, later, amps):
    """Volts with `later` siemens at the moving branches, held at `siemens` before."""
    core = Core(Elimination(nodes, ends), np.array(ends), np.array(moving), seen)
    held = core.of(siemens)
    whole = siemens.copy()
    whole[moving] = later
    volts = held.solve(whole, amps)
    held.fill(volts)
    return volts, whole


def test_a_divider_whose_lower_half_changes_by_hand():
    # 12 V behind 1 ohm feeds node 0; 1 ohm to node 1, 1 ohm to node 2; there 2 ohm, later 10.
    ends = [(0, -1), (0, 1), (1, 2), (2, -1)]
    siemens = np.array([[1.0], [1.0], [1.0], [0.5]])
    amps = np.array([[12.0], [0.0], [0.0]])
    volts, _ = solved(ends, 3, [0, 3], [], siemens, np.array([[1.0], [0.1]]), amps)
    assert volts[:, 0] == pytest.approx([12 * 12 / 13, 12 * 11 / 13, 12 * 10 / 13])


@pytest.mark.parametrize("seed", range(20))
def test_any_branches_that_move_are_as_if_solved_whole(seed):
    chance = np.random.default_rng(seed)
    nodes, ends, siemens = by_chance(chance, most_nodes=60, cases=5)
    moving = np.flatnonzero(chance.random(len(ends)) < 0.2)
    later = 10 ** chance.uniform(-7, 3, (len(moving), 5)) * (chance.random((len(moving), 5)) > 0.3)
    touched = {n for row in moving for n in ends[row] if n >= 0}
    amps = np.zeros((nodes, 5))
    amps[sorted(touched)] = 1e3 * chance.random((len(touched), 5))
    seen = [int(chance.integers(0, nodes))]
    volts, whole = solved(ends, nodes, moving, seen, siemens, later, amps)
    expected = Elimination(nodes, ends).solve(whole, amps)
    assert volts == pytest.approx(expected, rel=1e-10, abs=1e-12)

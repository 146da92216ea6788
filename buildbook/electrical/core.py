"""The part of networks that moves while cases come to rest; all else is removed once.

Removing a node concerns only the nodes on its way through the elimination tree (Liu 1990, from
memory). Nodes on no way of a branch that may change are removed once for a set of cases, and put
back once these are at rest; in between only the others are solved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.elimination import (
    BLOCK,
    Elimination,
    Entries,
    Removed,
    nodes_on_ways,
    remove,
    volts_of,
)
from buildbook.electrical.ports import Ports


class Core:
    """The shape: which nodes are on a way of the branches `rows`, and how they are removed.

    Amps may be pushed in only at the ends of `rows`. Volts are right at `seen` nodes too.
    """

    def __init__(
        self, elimination: Elimination, ends: np.ndarray, rows: np.ndarray, seen: Sequence[int] = ()
    ) -> None:
        self.elimination, self.rows = elimination, rows
        marked = nodes_on_ways(elimination.layers, [*ends[rows].ravel().tolist(), *seen])
        self.nodes = np.array(sorted(marked), dtype=np.intp)
        still = np.ones(elimination.node_count, dtype=bool)
        still[self.nodes] = False
        self.moving = np.zeros(len(ends), dtype=bool)
        self.moving[rows] = True
        outer = [layer.some(still[layer.nodes]) for layer in elimination.layers]
        self.outer = [layer for layer in outer if len(layer.nodes)]
        own = [layer.some(~still[layer.nodes]) for layer in elimination.layers]
        used = [layer.slots for layer in own] + [layer.mesh for layer in own]
        self.slots = np.unique(np.concatenate([*used, np.zeros(0, dtype=np.intp)]))
        node_at = np.full(elimination.node_count, -1, dtype=np.intp)
        node_at[self.nodes] = np.arange(len(self.nodes))
        slot_at = np.full(elimination.slot_count, -1, dtype=np.intp)
        slot_at[self.slots] = np.arange(len(self.slots))
        self.layers = [layer.renumbered(node_at, slot_at) for layer in own if len(layer.nodes)]
        self.node_at = node_at

        def slot(a: int, b: int) -> int:
            return int(slot_at[elimination.slot(int(self.nodes[a]), int(self.nodes[b]))])

        self.entries = Entries.of(self._numbered(ends[rows]).tolist(), slot)

    def ports(self, ends: np.ndarray) -> Ports:
        """Pairs of nodes (-1 for the reference) of the core."""
        return Ports(self.layers, self._numbered(ends))

    def _numbered(self, ends: np.ndarray) -> np.ndarray:
        """Nodes by the core's numbers."""
        found: np.ndarray = np.where(ends >= 0, self.node_at[ends], -1)
        return found

    def of(self, siemens: np.ndarray) -> HeldCore:
        """Networks (branches x cases) with all removed that does not move."""
        cases = siemens.shape[1]
        held = HeldCore(
            self,
            np.empty((len(self.slots), cases)),
            np.empty((len(self.nodes), cases)),
            [np.empty((len(layer.owner), cases)) for layer in self.outer],
        )
        fixed = np.where(self.moving[:, None], 0.0, siemens)
        for first in range(0, cases, BLOCK):
            some = slice(first, first + BLOCK)
            mesh, leak = self.elimination.entered(fixed[:, some])
            for weight, found in zip(held.weights, remove(self.outer, mesh, leak), strict=True):
                weight[:, some] = found
            held.mesh[:, some], held.leak[:, some] = mesh[self.slots], leak[self.nodes]
        return held


@dataclass(frozen=True)
class HeldCore:
    """Networks with all removed that does not move: entries by the core's numbers x cases."""

    core: Core
    mesh: np.ndarray
    leak: np.ndarray
    weights: list[np.ndarray]
    """Of what was removed, as of `Removed`."""

    def some(self, which: np.ndarray | slice) -> HeldCore:
        """Some of the cases, to be solved; what was removed stays with the whole."""
        return HeldCore(self.core, self.mesh[:, which], self.leak[:, which], [])

    def removed(self, siemens: np.ndarray) -> Removed:
        """The rest removed as well, with the moving branches (rows x cases)."""
        core = self.core
        mesh, leak = self.mesh.copy(), self.leak.copy()
        core.entries.add(siemens, mesh, leak)
        return Removed(remove(core.layers, mesh, leak), leak)

    def solve(self, siemens: np.ndarray, injected_a: np.ndarray) -> np.ndarray:
        """Volts (nodes x cases), 0 at nodes outside the core; as of `Elimination.solve`."""
        volts = np.zeros(injected_a.shape)
        rows = siemens[self.core.rows]
        for first in range(0, rows.shape[1], BLOCK):
            some = slice(first, first + BLOCK)
            removed = self.some(some).removed(rows[:, some])
            pushed = injected_a[self.core.nodes, some]
            volts[self.core.nodes, some] = volts_of(self.core.layers, removed, pushed)
        return volts

    def fill(self, volts: np.ndarray) -> None:
        """Add the volts of the nodes outside the core, in place."""
        for layer, weight in zip(reversed(self.core.outer), reversed(self.weights), strict=True):
            volts[layer.nodes] = layer.arms.of(weight * volts[layer.neighbours])

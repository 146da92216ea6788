"""Solves many resistive networks of one shape at once by star-mesh elimination.

Each node is removed in turn: its star of conductances becomes a mesh between its neighbours,
g_ij = g_i g_j / sum(g) (Rosen 1924, from memory). Nothing is ever subtracted, so a node that
hangs on a gigaohm comes out as exactly as one on a milliohm; and as the order of removal is
found once for the shape, one pass serves every state, or every fault of a state, side by side.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np

LEAK_OHMS = 1e9
"""From every node to the reference, so that nothing floats."""


@dataclass(frozen=True)
class _Step:
    node: int
    neighbours: np.ndarray
    slots: np.ndarray
    """Of the conductance to each neighbour."""
    left: np.ndarray
    right: np.ndarray
    """Pairs of neighbours, as places in `neighbours`."""
    mesh: np.ndarray
    """Slot of the conductance between each pair."""


class Elimination:
    """The order of removal for branches between nodes 0…n-1; node -1 is the reference."""

    def __init__(self, node_count: int, ends: list[tuple[int, int]]) -> None:
        self.node_count = node_count
        self.slot_of: dict[tuple[int, int], int] = {}
        adjacent: list[set[int]] = [set() for _ in range(node_count)]
        for a, b in ends:
            if a != b and a >= 0 and b >= 0:
                adjacent[a].add(b)
                adjacent[b].add(a)
                self._slot(a, b)
        self.steps = self._order(adjacent)
        self.branch_slots = [
            self._slot(a, b) if a != b and a >= 0 and b >= 0 else -1 for a, b in ends
        ]
        self.ends = ends
        self.slot_count = len(self.slot_of)

    def _slot(self, a: int, b: int) -> int:
        key = (a, b) if a < b else (b, a)
        return self.slot_of.setdefault(key, len(self.slot_of))

    def _order(self, adjacent: list[set[int]]) -> list[_Step]:
        """Least-connected node first (minimum degree)."""
        heap = [(len(near), node) for node, near in enumerate(adjacent)]
        heapq.heapify(heap)
        gone = [False] * self.node_count
        steps = []
        while heap:
            degree, node = heapq.heappop(heap)
            if gone[node] or degree != len(adjacent[node]):
                continue
            gone[node] = True
            near = sorted(adjacent[node])
            pairs = [(i, j) for i in range(len(near)) for j in range(i)]
            mesh = [self._slot(near[i], near[j]) for i, j in pairs]
            for i, j in pairs:
                adjacent[near[i]].add(near[j])
                adjacent[near[j]].add(near[i])
            for other in near:
                adjacent[other].discard(node)
                heapq.heappush(heap, (len(adjacent[other]), other))
            steps.append(
                _Step(
                    node,
                    np.array(near, dtype=np.intp),
                    np.array([self._slot(node, n) for n in near], dtype=np.intp),
                    np.array([i for i, _ in pairs], dtype=np.intp),
                    np.array([j for _, j in pairs], dtype=np.intp),
                    np.array(mesh, dtype=np.intp),
                )
            )
        return steps

    def solve(self, siemens: np.ndarray, injected_a: np.ndarray) -> np.ndarray:
        """Node voltages (nodes x cases) from branch conductances (branches x cases).

        `injected_a` (nodes x cases) is the current pushed into each node from the reference.
        """
        cases = siemens.shape[1]
        mesh = np.zeros((self.slot_count, cases))
        leak = np.full((self.node_count, cases), 1 / LEAK_OHMS)
        push = injected_a.copy()
        for (a, b), slot, row in zip(self.ends, self.branch_slots, siemens, strict=True):
            if slot >= 0:
                mesh[slot] += row
            elif a != b:
                leak[max(a, b)] += row
        kept = []
        for step in self.steps:
            star = mesh[step.slots]
            total = leak[step.node] + star.sum(axis=0)
            weight = star / total
            leak[step.neighbours] += weight * leak[step.node]
            push[step.neighbours] += weight * push[step.node]
            if len(step.mesh):
                mesh[step.mesh] += weight[step.left] * star[step.right]
            kept.append((weight, push[step.node] / total))
        volts = np.zeros((self.node_count, cases))
        for step, (weight, own) in zip(reversed(self.steps), reversed(kept), strict=True):
            volts[step.node] = own + (weight * volts[step.neighbours]).sum(axis=0)
        return volts

"""Solves a network anew where one branch is altered, by taking out only the nodes on its way.

A branch meets the elimination at the earlier of its two nodes; from there only the nodes on one
way to the last node see anything of it (the elimination tree; Liu 1990, from memory). What the
others hand to the nodes of that way is summed without the branch, never subtracted from a sum,
so that an altered network comes out as exactly as one that is eliminated whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildbook.electrical.elimination import LEAK_OHMS, Elimination, Sums, neighbours_of

BLOCK = 1024
"""Cases worked out at a time, few enough to stay in the cache."""

Way = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
"""Cases whose way passes a level: which, their nodes' places, weights and shares."""


@dataclass(frozen=True)
class _Level:
    """Nodes removed together, each with its front: what joins it and its neighbours.

    Local number 0 is the node, 1… its neighbours. A front's entries are the conductance of each
    pair of locals, then the leak of each local, then the current pushed into each; a node with
    fewer neighbours than `width` fills up with the entry that is always zero.
    """

    width: int
    nodes: np.ndarray
    entries: np.ndarray
    """Entry of a front x node -> place among all entries."""
    neighbours: np.ndarray
    """Node x neighbour; -1, a node without volts, fills up."""
    inner: np.ndarray
    """Entries of the front that do not touch the node, in the order in which they are handed on."""
    left: np.ndarray
    right: np.ndarray
    """The pair of neighbours of each pair handed on."""
    onto: Sums
    """What is handed on, part by part, onto the places of all entries."""

    def removed(self, front: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Weights of the neighbours, the node's own share of volts, and what is handed on.

        `front` is entries x anything, and so are the weights and what is handed on.
        """
        d = self.width
        pairs = d * (d + 1) // 2
        star, leak, push = front[:d], front[pairs], front[pairs + d + 1]
        total = leak + star.sum(axis=0)
        weight = star / total
        handed = front[self.inner]
        count = len(self.left)
        handed[:count] += weight[self.left] * star[self.right]
        handed[count : count + d] += weight * leak
        handed[count + d :] += weight * push
        return weight, push / total, handed


@dataclass(frozen=True)
class _Base:
    """The networks that are altered, eliminated whole."""

    entries: np.ndarray
    """Networks x entries."""
    without: np.ndarray
    """Networks x each that hands something to an entry: the entry without it."""
    weights: list[np.ndarray]
    """Level by level, neighbours x nodes x networks."""
    shares: list[np.ndarray]
    """Level by level, nodes x networks."""


class Updating:
    """The shape of a network, ready for alterations of single branches."""

    def __init__(self, elimination: Elimination, ends: list[tuple[int, int]]) -> None:
        self.node_count = elimination.node_count
        self._number_entries(elimination)
        self._hand_on(elimination)
        self._enter_branches(ends)
        self._group()

    def _number_entries(self, elimination: Elimination) -> None:
        """Places of the entries of every front; the last place is always zero."""
        self.level_of = np.full(self.node_count + 1, -1)
        self.place_of = np.zeros(self.node_count + 1, dtype=np.intp)
        near = neighbours_of(elimination.layers)
        order = [list(layer.nodes) for layer in elimination.layers]
        alone = sorted({*range(self.node_count)} - {node for nodes in order for node in nodes})
        if alone:
            order.append(alone)
        self.order, self.near = order, near
        self.local = {
            node: {node: 0} | {other: i for i, other in enumerate(near.get(node, ()), start=1)}
            for node in range(self.node_count)
        }
        count = 0
        self.first: dict[int, int] = {}
        for level, nodes in enumerate(order):
            for place, node in enumerate(nodes):
                self.level_of[node], self.place_of[node] = level, place
                self.first[int(node)] = count
                d = len(self.local[node]) - 1
                count += d * (d + 1) // 2 + 2 * (d + 1)
        self.zero = count
        self.stride = count + 1

    def _entry(self, node: int, i: int, k: int) -> int:
        """Place of the conductance between two locals of a node's front."""
        i, k = min(i, k), max(i, k)
        d = len(self.local[node]) - 1
        return self.first[node] + i * d - i * (i - 1) // 2 + (k - i - 1)

    def _leak(self, node: int, i: int) -> int:
        d = len(self.local[node]) - 1
        return self.first[node] + d * (d + 1) // 2 + i

    def _push(self, node: int, i: int) -> int:
        return self._leak(node, i) + len(self.local[node])

    def _hand_on(self, elimination: Elimination) -> None:
        """The levels, and for each node where in its parent's front its parts go."""
        self.parent = np.full(self.node_count + 1, -1)
        widths = [max(len(self.local[n]) - 1 for n in nodes) for nodes in self.order]
        most = max(w * (w - 1) // 2 + 2 * w for w in widths) if widths else 0
        self.handed = most
        self.position = np.zeros((most, self.node_count + 1), dtype=np.intp)
        self.source = np.zeros((most, self.node_count + 1), dtype=np.intp)
        self.levels: list[_Level] = []
        self.targets: list[int] = []
        for width, nodes in zip(widths, self.order, strict=True):
            self.levels.append(self._level(width, [int(n) for n in nodes]))
        first = 0
        for level, nodes in zip(self.levels, self.order, strict=True):
            self._positions(level, [int(n) for n in nodes], first)
            first += len(level.inner) * len(nodes)

    def _level(self, d: int, nodes: list[int]) -> _Level:
        pairs = [(i, k) for i in range(d + 1) for k in range(i + 1, d + 1)]
        entries = np.full((len(nodes), len(pairs) + 2 * (d + 1)), self.zero)
        neighbours = np.full((len(nodes), d), self.node_count)
        targets = []
        for row, node in enumerate(nodes):
            own = len(self.local[node]) - 1
            neighbours[row, :own] = self.near.get(node, [])
            for at, (i, k) in enumerate(pairs):
                if k <= own:
                    entries[row, at] = self._entry(node, i, k)
            for i in range(own + 1):
                entries[row, len(pairs) + i] = self._leak(node, i)
                entries[row, len(pairs) + d + 1 + i] = self._push(node, i)
            targets.append(self._onto_parent(node, d))
        inner = [at for at, (i, _) in enumerate(pairs) if i]
        inner += [len(pairs) + i for i in range(1, d + 1)]
        inner += [len(pairs) + d + 1 + i for i in range(1, d + 1)]
        between = [(i - 1, k - 1) for i, k in pairs if i]
        left, right = (np.array([p[s] for p in between], dtype=np.intp) for s in (0, 1))
        by_part = [place for part in zip(*targets, strict=True) for place in part]
        self.targets += by_part
        return _Level(
            d,
            np.array(nodes, dtype=np.intp),
            entries.T.copy(),
            neighbours,
            np.array(inner, dtype=np.intp),
            left,
            right,
            Sums.to(by_part),
        )

    def _onto_parent(self, node: int, d: int) -> list[int]:
        """Place of each part that a node hands on, among all entries."""
        near = self.near.get(node, [])
        own = len(near)
        inside = [n for n in near if n >= 0]
        parent = min(inside, key=lambda n: self.level_of[n], default=-1)
        self.parent[node] = parent
        at = self.local[parent] if parent >= 0 else {}
        found = []
        for i in range(d):
            for k in range(i + 1, d):
                both = i < own and k < own
                found.append(self._entry(parent, at[near[i]], at[near[k]]) if both else self.zero)
        for place in (self._leak, self._push):
            found += [place(parent, at[near[i]]) if i < own else self.zero for i in range(d)]
        return found

    def _positions(self, level: _Level, nodes: list[int], first: int) -> None:
        """Where in its parent's front each part of a node goes; what fills up goes to the end.

        `first` is the place of the level's first part among all that is handed on.
        """
        count = len(level.inner)
        for row, node in enumerate(nodes):
            parent = int(self.parent[node])
            if parent < 0:
                continue
            above = self.levels[self.level_of[parent]].entries[:, self.place_of[parent]]
            columns = {int(e): i for i, e in enumerate(above) if e != self.zero}
            sources = range(first + row, first + row + count * len(nodes), len(nodes))
            self.position[:, node] = len(above)
            self.position[:count, node] = [
                columns.get(self.targets[source], len(above)) for source in sources
            ]
            self.source[:count, node] = sources

    def _enter_branches(self, ends: list[tuple[int, int]]) -> None:
        """Where each branch meets the fronts: node, column of its front, place among entries."""
        count = len(ends)
        self.owner = np.full(count, -1)
        self.column = np.zeros(count, dtype=np.intp)
        entry = np.full(count, self.zero)
        for row, (a, b) in enumerate(ends):
            if a == b:
                continue
            if a < 0 or b < 0:
                node = max(a, b)
                entry[row] = self._leak(node, 0)
            else:
                node = min(a, b, key=lambda n: self.level_of[n])
                entry[row] = self._entry(node, 0, self.local[node][a + b - node])
            self.owner[row] = node
            own = self.levels[self.level_of[node]].entries[:, self.place_of[node]]
            self.column[row] = int(np.flatnonzero(own == entry[row])[0])
        self.branch_entry = entry
        self.onto_entries = Sums.to(entry.tolist())
        nodes = range(self.node_count)
        self.leak_entries = np.array([self._leak(node, 0) for node in nodes], dtype=np.intp)
        self.push_entries = np.array([self._push(node, 0) for node in nodes], dtype=np.intp)

    def _group(self) -> None:
        """Everything that hands something to an entry, ordered by rank among its likes.

        In this order: parts of nodes, branches, leaks, pushes.
        """
        onto = np.array(
            [*self.targets, *self.branch_entry, *self.leak_entries, *self.push_entries],
            dtype=np.intp,
        )
        self.branches_from = len(self.targets)
        order = np.argsort(onto, kind="stable")
        ordered = onto[order]
        begins = np.r_[True, ordered[1:] != ordered[:-1]]
        start = np.maximum.accumulate(np.where(begins, np.arange(len(order)), 0))
        rank = np.arange(len(order)) - start
        rank[ordered == self.zero] = 0
        self.steps = [
            (order[(at := np.flatnonzero(rank == r))], order[at - 1])
            for r in range(1, int(rank.max(initial=0)) + 1)
        ]

    def _without(self, given: np.ndarray) -> np.ndarray:
        """For each that hands something to an entry, the sum of what the others hand to it."""
        before, after = np.zeros_like(given), np.zeros_like(given)
        for later, earlier in self.steps:
            before[later] = before[earlier] + given[earlier]
        for later, earlier in reversed(self.steps):
            after[earlier] = after[later] + given[later]
        total: np.ndarray = before + after
        return total

    def _eliminate(self, siemens: np.ndarray, injected_a: np.ndarray) -> _Base:
        """Networks that are to be altered, whole."""
        count = siemens.shape[1]
        entries = np.zeros((self.zero + 1, count))
        self.onto_entries.add(siemens, entries)
        entries[self.zero] = 0.0
        entries[self.leak_entries] += 1 / LEAK_OHMS
        entries[self.push_entries] += injected_a
        given, weights, shares = [], [], []
        for level in self.levels:
            weight, share, handed = level.removed(entries[level.entries])
            rows = handed.reshape(-1, count)
            level.onto.add(rows, entries)
            entries[self.zero] = 0.0
            given.append(rows)
            weights.append(weight)
            shares.append(share)
        leaks = np.full((self.node_count, count), 1 / LEAK_OHMS)
        every = np.vstack([*given, siemens, leaks, injected_a])
        without = np.ascontiguousarray(self._without(every).T)
        return _Base(np.ascontiguousarray(entries.T), without, weights, shares)

    def solve(
        self,
        siemens: np.ndarray,
        injected_a: np.ndarray,
        of: np.ndarray,
        row: np.ndarray,
        altered: np.ndarray,
        wanted: np.ndarray | None = None,
    ) -> np.ndarray:
        """Node volts (nodes x cases) of networks with one branch altered each.

        `siemens` (branches x networks) and `injected_a` (nodes x networks) are the networks;
        each case is network `of` with branch `row` (-1 for none) at `altered` siemens. With
        `wanted` (a mark for each node, all that a node needs marked with it: see `closure`) only
        the nodes marked are given.
        """
        base = self._eliminate(siemens, injected_a)
        rows = np.arange(self.node_count) if wanted is None else np.flatnonzero(wanted[:-1])
        volts = np.empty((len(rows), len(of)))
        for first in range(0, len(of), BLOCK):
            some = slice(first, first + BLOCK)
            block = np.empty((self.node_count + 1, len(of[some])))
            block[-1] = 0.0
            ways = self._forward(base, of[some], row[some], altered[some])
            self._backward(base, of[some], ways, block, wanted)
            volts[:, some] = block[rows]
        return volts

    def closure(self, nodes: list[int]) -> np.ndarray:
        """True for nodes and everything from which their volts follow."""
        found = np.zeros(self.node_count + 1, dtype=bool)
        for node in nodes:
            while node >= 0 and not found[node]:
                found[node] = True
                node = int(self.parent[node])
        return found

    def _forward(
        self, base: _Base, of: np.ndarray, row: np.ndarray, altered: np.ndarray
    ) -> list[Way | None]:
        """For each level the cases whose way passes."""
        at = np.where(row >= 0, self.owner[row], -1)
        came = np.full(len(of), -1)
        carried = np.zeros((self.handed, len(of)))
        ways: list[Way | None] = []
        for number, level in enumerate(self.levels):
            cases = np.flatnonzero(self.level_of[at] == number)
            cases = cases[at[cases] >= 0]
            if not len(cases):
                ways.append(None)
                continue
            node, network = at[cases], of[cases]
            place = self.place_of[node]
            front = np.empty((len(level.entries) + 1, len(cases)))
            np.take(base.entries, level.entries[:, place] + network * self.stride, out=front[:-1])
            new = np.flatnonzero(came[cases] < 0)
            which = row[cases[new]]
            without = base.without[network[new], self.branches_from + which]
            front[self.column[which], new] = without + altered[cases[new]]
            old = np.flatnonzero(came[cases] >= 0)
            child = came[cases[old]]
            without = base.without[network[old], self.source[:, child]]
            front[self.position[:, child], old] = without + carried[:, cases[old]]
            weight, share, handed = level.removed(front[:-1])
            carried[: len(handed), cases] = handed
            came[cases], at[cases] = node, self.parent[node]
            ways.append((cases, place, weight, share))
        return ways

    def _backward(
        self,
        base: _Base,
        of: np.ndarray,
        ways: Sequence[Way | None],
        volts: np.ndarray,
        wanted: np.ndarray | None,
    ) -> None:
        """Volts, last removed node first; on a case's way with the weights of its own."""
        for number in reversed(range(len(self.levels))):
            level, way = self.levels[number], ways[number]
            some = slice(None) if wanted is None else np.flatnonzero(wanted[level.nodes])
            nodes, near = level.nodes[some], level.neighbours[some]
            if not len(nodes):
                continue
            found = base.shares[number][some][:, of]
            for arm, weight in enumerate(base.weights[number]):
                found += weight[some][:, of] * volts[near[:, arm]]
            volts[nodes] = found
            if way is not None:
                cases, place, own, share = way
                around = volts[level.neighbours[place].T, cases]
                volts[level.nodes[place], cases] = share + (own * around).sum(axis=0)

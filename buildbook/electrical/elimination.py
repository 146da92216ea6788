"""Solves many resistive networks of one shape at once by star-mesh elimination.

Each node is removed in turn: its star of conductances becomes a mesh between its neighbours,
g_ij = g_i g_j / sum(g) (Rosen 1924, from memory). Nothing is ever subtracted, so a node that
hangs on a gigaohm comes out as exactly as one on a milliohm; and as the order of removal is
found once for the shape, one pass serves every state, or every fault of a state, side by side.
Nodes that are not joined to each other are removed together, a layer at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy.sparse import csr_array

LEAK_OHMS = 1e9
"""From every node to the reference, so that nothing floats."""
BLOCK = 256
"""Cases solved at a time: enough to share the work of a layer, few enough to stay in the cache."""
NARROW = 32
"""Cases up to which sums are quicker without the matrix of ones."""


@dataclass(frozen=True)
class Sums:
    """Rows to be added up by where they go."""

    targets: np.ndarray
    gather: csr_array | None
    """A matrix of ones that adds many columns up in one pass; None where no two rows meet."""
    order: np.ndarray
    """Puts rows of one target beside one another."""
    starts: np.ndarray
    """First of those rows for each target."""

    @staticmethod
    def to(targets: Sequence[int] | np.ndarray) -> Sums:
        places = np.asarray(targets, dtype=np.intp)
        unique, place = np.unique(places, return_inverse=True)
        if len(unique) == len(places):
            return Sums(places, None, places, places)
        ones, rows = np.ones(len(places)), np.arange(len(places))
        gather = csr_array((ones, (place, rows)), shape=(len(unique), len(places)))
        order = np.argsort(places, kind="stable")
        return Sums(unique, gather, order, np.searchsorted(places[order], unique))

    def of(self, rows: np.ndarray) -> np.ndarray:
        """The sum for each target, in the order of `targets`."""
        if self.gather is None:
            return rows
        if rows.shape[1] > NARROW:
            added: np.ndarray = self.gather @ rows
            return added
        return np.add.reduceat(rows[self.order], self.starts)

    def add(self, rows: np.ndarray, onto: np.ndarray) -> None:
        if len(self.targets):
            onto[self.targets] += self.of(rows)


@dataclass(frozen=True)
class Layer:
    """Nodes that no branch joins, removed together; each has at least one neighbour.

    Arms are the pairs of a removed node and a neighbour, node by node; pairs are two arms of one
    node, between whose far ends a conductance of the mesh lies.
    """

    nodes: np.ndarray
    owner: np.ndarray
    """Node of each arm, as a place in `nodes`."""
    slots: np.ndarray
    """Of each arm, its conductance's place in the mesh."""
    neighbours: np.ndarray
    left: np.ndarray
    right: np.ndarray
    """The two arms of each pair, and …"""
    mesh: np.ndarray
    """… its conductance's place in the mesh."""

    @cached_property
    def arms(self) -> Sums:
        """Arms onto their nodes, as places in `nodes`."""
        return Sums.to(self.owner)

    @cached_property
    def owners(self) -> np.ndarray:
        """Node of each arm."""
        found: np.ndarray = self.nodes[self.owner]
        return found

    @cached_property
    def onto_neighbours(self) -> Sums:
        return Sums.to(self.neighbours)

    @cached_property
    def onto_mesh(self) -> Sums:
        return Sums.to(self.mesh)

    def some(self, which: np.ndarray) -> Layer:
        """The nodes that are marked."""
        arms, pairs = which[self.owner], which[self.owner[self.left]]
        place, arm_at = np.cumsum(which) - 1, np.cumsum(arms) - 1
        return Layer(
            self.nodes[which],
            place[self.owner[arms]],
            self.slots[arms],
            self.neighbours[arms],
            arm_at[self.left[pairs]],
            arm_at[self.right[pairs]],
            self.mesh[pairs],
        )

    def renumbered(self, node_at: np.ndarray, slot_at: np.ndarray) -> Layer:
        """With other numbers for nodes and places in the mesh."""
        return replace(
            self,
            nodes=node_at[self.nodes],
            slots=slot_at[self.slots],
            neighbours=node_at[self.neighbours],
            mesh=slot_at[self.mesh],
        )


@dataclass(frozen=True)
class Entries:
    """Where branches enter a network: each a conductance of the mesh, or leaking from a node."""

    own_rows: np.ndarray
    onto_slots: Sums
    grounded_rows: np.ndarray
    onto_leaks: Sums

    @staticmethod
    def of(ends: Iterable[tuple[int, int]], slot: Callable[[int, int], int]) -> Entries:
        """Of branches by their nodes, -1 for the reference; `slot` is a place in the mesh.

        A branch from a node to itself carries nothing.
        """
        joined = [(row, min(a, b), max(a, b)) for row, (a, b) in enumerate(ends) if a != b]
        own = [(row, slot(a, b)) for row, a, b in joined if a >= 0]
        grounded = [(row, b) for row, a, b in joined if a < 0]
        return Entries(
            np.array([row for row, _ in own], dtype=np.intp),
            Sums.to([place for _, place in own]),
            np.array([row for row, _ in grounded], dtype=np.intp),
            Sums.to([node for _, node in grounded]),
        )

    def add(self, siemens: np.ndarray, mesh: np.ndarray, leak: np.ndarray) -> None:
        """Add branches (rows x cases) to a network, in place."""
        self.onto_slots.add(siemens[self.own_rows], mesh)
        self.onto_leaks.add(siemens[self.grounded_rows], leak)


@dataclass(frozen=True)
class Removed:
    """What is left of networks once their nodes are removed."""

    weights: list[np.ndarray]
    """Layer by layer, arms x cases: the share of its node's volts that the far end makes."""
    leak: np.ndarray
    """Siemens of each node when it was removed, nodes x cases."""


def remove(layers: Sequence[Layer], mesh: np.ndarray, leak: np.ndarray) -> list[np.ndarray]:
    """Remove nodes layer by layer in place; the weights, as of `Removed`."""
    kept = []
    for layer in layers:
        star = mesh[layer.slots]
        total = leak[layer.nodes] + layer.arms.of(star)
        weight = star / total[layer.owner]
        layer.onto_neighbours.add(weight * leak[layer.owners], leak)
        layer.onto_mesh.add(weight[layer.left] * star[layer.right], mesh)
        kept.append(weight)
        leak[layer.nodes] = total
    return kept


def volts_of(layers: Sequence[Layer], removed: Removed, pushed_a: np.ndarray) -> np.ndarray:
    """Node volts once all are removed, from the current pushed into each (nodes x cases)."""
    push = pushed_a.copy()
    for layer, weight in zip(layers, removed.weights, strict=True):
        layer.onto_neighbours.add(weight * push[layer.owners], push)
    volts: np.ndarray = push / removed.leak
    for layer, weight in zip(reversed(layers), reversed(removed.weights), strict=True):
        volts[layer.nodes] += layer.arms.of(weight * volts[layer.neighbours])
    return volts


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
                self.slot(a, b)
        self.layers = self._order(adjacent)
        self.entries = Entries.of(ends, self.slot)
        self.slot_count = len(self.slot_of)

    def slot(self, a: int, b: int) -> int:
        """Place in the mesh of what lies between two nodes."""
        key = (a, b) if a < b else (b, a)
        return self.slot_of.setdefault(key, len(self.slot_of))

    def _order(self, adjacent: list[set[int]]) -> list[Layer]:
        """Layer by layer: of the nodes still there the least connected (minimum degree).

        A layer takes nodes of the least degree there is, or of up to two neighbours, in the order
        of their numbers, none beside another.
        """
        left = [node for node, near in enumerate(adjacent) if near]
        layers = []
        while left:
            least = max(2, min(len(adjacent[node]) for node in left))
            taken: list[int] = []
            barred: set[int] = set()
            for node in left:
                if len(adjacent[node]) <= least and node not in barred:
                    taken.append(node)
                    barred |= adjacent[node]
            layers.append(self._layer(taken, adjacent))
            gone = set(taken)
            left = [node for node in left if node not in gone and adjacent[node]]
        return layers

    def _layer(self, nodes: list[int], adjacent: list[set[int]]) -> Layer:
        """Takes nodes out of `adjacent`, joining the neighbours of each."""
        owner: list[int] = []
        slots: list[int] = []
        neighbours: list[int] = []
        pairs: list[tuple[int, int]] = []
        mesh: list[int] = []
        for place, node in enumerate(nodes):
            first, near = len(owner), sorted(adjacent[node])
            owner += [place] * len(near)
            neighbours += near
            slots += [self.slot(node, other) for other in near]
            for i, one in enumerate(near):
                for j, other in enumerate(near[:i]):
                    adjacent[one].add(other)
                    adjacent[other].add(one)
                    pairs.append((first + i, first + j))
                    mesh.append(self.slot(one, other))
                adjacent[one].discard(node)
        left, right = (np.array([p[side] for p in pairs], dtype=np.intp) for side in (0, 1))
        return Layer(
            np.array(nodes, dtype=np.intp),
            np.array(owner, dtype=np.intp),
            np.array(slots, dtype=np.intp),
            np.array(neighbours, dtype=np.intp),
            left,
            right,
            np.array(mesh, dtype=np.intp),
        )

    def solve(self, siemens: np.ndarray, injected_a: np.ndarray) -> np.ndarray:
        """Node voltages (nodes x cases) from branch conductances (branches x cases).

        `injected_a` (nodes x cases) is the current pushed into each node from the reference.
        """
        volts = np.empty((self.node_count, siemens.shape[1]))
        for first in range(0, siemens.shape[1], BLOCK):
            some = slice(first, first + BLOCK)
            volts[:, some] = self._solve(siemens[:, some], injected_a[:, some])
        return volts

    def _solve(self, siemens: np.ndarray, injected_a: np.ndarray) -> np.ndarray:
        return volts_of(self.layers, self.removed(siemens), injected_a)

    def removed(self, siemens: np.ndarray) -> Removed:
        """Networks (branches x cases) with their nodes removed."""
        mesh, leak = self.entered(siemens)
        return Removed(remove(self.layers, mesh, leak), leak)

    def some(self, _which: slice) -> Elimination:
        """The shape is that of any cases."""
        return self

    def entered(self, siemens: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Networks (branches x cases) as conductances of the mesh, and from each node."""
        cases = siemens.shape[1]
        mesh = np.zeros((self.slot_count, cases))
        leak = np.full((self.node_count, cases), 1 / LEAK_OHMS)
        self.entries.add(siemens, mesh, leak)
        return mesh, leak


def neighbours_of(layers: Sequence[Layer]) -> dict[int, list[int]]:
    """Node -> what joins it when it is removed; none where nothing does."""
    near: dict[int, list[int]] = {}
    for layer in layers:
        for node, other in zip(layer.owners.tolist(), layer.neighbours.tolist(), strict=True):
            near.setdefault(node, []).append(other)
    return near


def nodes_on_ways(layers: Sequence[Layer], nodes: Iterable[int]) -> set[int]:
    """Some nodes and all that see anything of them while the rest is removed."""
    near = neighbours_of(layers)
    marked: set[int] = set()
    waiting = [node for node in nodes if node >= 0]
    while waiting:
        if (node := waiting.pop()) not in marked:
            marked.add(node)
            waiting += near.get(node, [])
    return marked

"""What pairs of terminals of a network see of it: volts across each for an ampere into another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from buildbook.electrical.elimination import BLOCK, Layer, Removed, Sums, nodes_on_ways


@dataclass(frozen=True)
class _Step:
    """The nodes of a layer on the way of some port, and their arms among the layer's."""

    layer: int
    arms: np.ndarray
    owner: np.ndarray
    """Node of each arm, and its far end, as places among the nodes on some way."""
    neighbours: np.ndarray
    onto_neighbours: Sums
    onto_nodes: Sums


class Removes(Protocol):
    """Networks of one shape whose nodes can be removed."""

    def removed(self, siemens: np.ndarray) -> Removed: ...

    def some(self, which: slice) -> Removes: ...


class Ports:
    """Pairs of nodes (-1 for the reference) of networks of one shape.

    An ampere put in at a node is seen only by the nodes on its way through the elimination tree,
    so that all ports together cost little more than removing the nodes once.
    """

    def __init__(self, layers: Sequence[Layer], ends: np.ndarray) -> None:
        marked = nodes_on_ways(layers, ends.ravel().tolist())
        self.nodes = np.array(sorted(marked), dtype=np.intp)
        place = {node: at for at, node in enumerate(self.nodes.tolist())}
        own = [[place.get(node, len(place)) for node in pair] for pair in ends.tolist()]
        self.ends = np.array(own, dtype=np.intp).reshape(-1, 2)
        self.steps = [
            _step(number, layer, place)
            for number, layer in enumerate(layers)
            if not marked.isdisjoint(layer.nodes.tolist())
        ]

    def ohms(self, networks: Removes, siemens: np.ndarray) -> np.ndarray:
        """Volts across each port for an ampere into each: networks x ports x ports.

        `siemens` is branches x networks.
        """
        found = np.zeros((siemens.shape[1], len(self.ends), len(self.ends)))
        for first in range(0, len(found), BLOCK):
            some = slice(first, first + BLOCK)
            found[some] = self._ohms(networks.some(some).removed(siemens[:, some]))
        return found

    def _ohms(self, removed: Removed) -> np.ndarray:
        count, networks = len(self.ends), removed.leak.shape[1]
        amps = np.zeros((len(self.nodes) + 1, count, networks))
        each = np.arange(count)
        amps[self.ends[:, 0], each] += 1.0
        amps[self.ends[:, 1], each] -= 1.0
        push = amps.reshape(len(self.nodes) + 1, -1)
        weights = []
        for step in self.steps:
            weight = np.tile(removed.weights[step.layer][step.arms], count)
            step.onto_neighbours.add(weight * push[step.owner], push)
            weights.append(weight)
        volts = push
        volts[:-1] /= np.tile(removed.leak[self.nodes], count)
        volts[-1] = 0.0
        for step, weight in zip(reversed(self.steps), reversed(weights), strict=True):
            step.onto_nodes.add(weight * volts[step.neighbours], volts)
        seen: np.ndarray = volts[self.ends[:, 0]] - volts[self.ends[:, 1]]
        return seen.reshape(count, count, networks).transpose(2, 0, 1)


def _step(number: int, layer: Layer, place: dict[int, int]) -> _Step:
    owner, neighbours, nodes = layer.owner, layer.neighbours, layer.nodes
    arms = [at for at, row in enumerate(owner.tolist()) if int(nodes[row]) in place]
    owners = [place[int(nodes[owner[at]])] for at in arms]
    others = [place[int(neighbours[at])] for at in arms]
    return _Step(
        number,
        np.array(arms, dtype=np.intp),
        np.array(owners, dtype=np.intp),
        np.array(others, dtype=np.intp),
        Sums.to(others),
        Sums.to(owners),
    )

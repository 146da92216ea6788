"""What pairs of terminals of a network see of it: volts across each for an ampere into another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildbook.electrical.elimination import BLOCK, Elimination, Sums


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


class Ports:
    """Pairs of nodes (-1 for the reference) of networks of one shape.

    An ampere put in at a node is seen only by the nodes on its way through the elimination tree,
    so that all ports together cost little more than removing the nodes once.
    """

    def __init__(self, elimination: Elimination, ends: np.ndarray) -> None:
        self.elimination = elimination
        near: dict[int, list[int]] = {}
        level: dict[int, int] = {}
        for number, layer in enumerate(elimination.layers):
            level.update(dict.fromkeys(layer.nodes.tolist(), number))
            for owner, other in zip(layer.owner.tolist(), layer.neighbours.tolist(), strict=True):
                near.setdefault(int(layer.nodes[owner]), []).append(other)
        marked: set[int] = set()
        waiting = [node for node in ends.ravel().tolist() if node >= 0]
        while waiting:
            if (node := waiting.pop()) not in marked:
                marked.add(node)
                waiting += near.get(node, [])
        self.nodes = np.array(sorted(marked), dtype=np.intp)
        place = {node: at for at, node in enumerate(self.nodes.tolist())}
        own = [[place.get(node, len(place)) for node in pair] for pair in ends.tolist()]
        self.ends = np.array(own, dtype=np.intp).reshape(-1, 2)
        self.steps = [
            _step(number, layer.nodes, layer.owner, layer.neighbours, place)
            for number, layer in enumerate(elimination.layers)
            if not marked.isdisjoint(layer.nodes.tolist())
        ]

    def ohms(self, siemens: np.ndarray) -> np.ndarray:
        """Volts across each port for an ampere into each: networks x ports x ports.

        `siemens` is branches x networks.
        """
        found = np.zeros((siemens.shape[1], len(self.ends), len(self.ends)))
        for first in range(0, len(found), BLOCK):
            some = slice(first, first + BLOCK)
            found[some] = self._ohms(siemens[:, some])
        return found

    def _ohms(self, siemens: np.ndarray) -> np.ndarray:
        removed = self.elimination.removed(siemens)
        count, networks = len(self.ends), siemens.shape[1]
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


def _step(
    number: int, nodes: np.ndarray, owner: np.ndarray, neighbours: np.ndarray, place: dict[int, int]
) -> _Step:
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

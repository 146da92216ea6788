"""The rope of one harness as a trunk with branches, and what sits at its points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import networkx

from buildbook.harness.datum import datum_of
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run
from buildbook.words.say import say


@dataclass(frozen=True)
class Tree:
    """The rope of one harness seen from its trunk."""

    trunk: tuple[str, ...]
    children: dict[str, tuple[str, ...]]
    """Point -> points that branch off it, away from the trunk, longest way on first."""
    runs: dict[tuple[str, str], Run]
    """Both ways round."""

    def onward(self, point: str) -> tuple[str, ...]:
        """Points reached from a point away from the trunk's start, the trunk's own first."""
        ahead: tuple[str, ...] = ()
        if point in self.trunk[:-1]:
            ahead = (self.trunk[self.trunk.index(point) + 1],)
        return (*ahead, *self.children.get(point, ()))

    def outward(self) -> Iterator[tuple[str, str]]:
        """Every run as (nearer, further) from the trunk's start: the trunk, then each branch."""
        yield from pairwise(self.trunk)
        stack = [(p, c) for p in reversed(self.trunk) for c in reversed(self.children.get(p, ()))]
        while stack:
            near, far = stack.pop()
            yield near, far
            stack += [(far, c) for c in reversed(self.children.get(far, ()))]


def rope_tree(runs: Sequence[Run], through: bool = False) -> Tree:
    """Trunk and branches of one harness's runs.

    The trunk starts at the end that the author measured from first and goes the longest way;
    where the author began in the middle, or with `through`, it is the longest way of all.
    """
    graph: networkx.Graph[str] = networkx.Graph()
    both: dict[tuple[str, str], Run] = {}
    for run in runs:
        graph.add_edge(run.from_point, run.to_point, length=run.length_m)
        both[run.from_point, run.to_point] = both[run.to_point, run.from_point] = run
    start = datum_of(runs)
    if through or graph.degree(start) > 1:
        start = _farthest(graph, start)
    trunk = tuple(networkx.shortest_path(graph, start, _farthest(graph, start), weight="length"))
    reach = _reach(graph, trunk)
    seen, queue, children = set(trunk), list(trunk), {}
    while queue:
        point = queue.pop(0)
        found = [p for p in graph[point] if p not in seen]
        children[point] = tuple(sorted(found, key=lambda p: -reach[p]))
        seen |= set(found)
        queue += children[point]
    return Tree(trunk, children, both)


def _farthest(graph: networkx.Graph[str], start: str) -> str:
    away = networkx.single_source_dijkstra_path_length(graph, start, weight="length")
    return max(away, key=lambda p: away[p])


def _reach(graph: networkx.Graph[str], trunk: tuple[str, ...]) -> dict[str, float]:
    """Point off the trunk -> rope from where it branches off to the farthest end beyond it."""
    found: dict[str, float] = {}
    spread: networkx.Graph[str] = networkx.Graph(graph)
    spread.remove_edges_from(list(pairwise(trunk)))
    for root in trunk:
        for near, far in reversed(list(networkx.dfs_edges(spread, root))):
            beyond = [found[p] for p in spread[far] if p != near and p in found]
            found[far] = spread[near][far]["length"] + max(beyond, default=0.0)
    return found


def fixtures(result: Sized, harness: str) -> dict[str, list[str]]:
    """Point -> devices and pass-throughs that wires of the harness end at there."""
    found: dict[str, list[str]] = {}
    for wire in result.harness.wires.values():
        if wire.harness != harness:
            continue
        for end in (wire.a, wire.b):
            if end.kind in ("pin", "half"):
                device = end.node.split("/")[0].rsplit(".", 1)[0]
                if device in result.vehicle.devices:
                    device = result.vehicle.devices[device].panel or device
                held = found.setdefault(end.point, [])
                if device not in held:
                    held.append(device)
            elif end.kind == "capped":
                held = found.setdefault(end.point, [])
                capped = say("capped wires")
                held += [] if capped in held else [capped]
    return found

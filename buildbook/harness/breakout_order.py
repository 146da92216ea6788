"""Where the lay-up of a harness begins, and how its runs go on from there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import networkx as nx

from buildbook.harness.model import Wire
from buildbook.vehicle.model import Run


def root_of(runs: Sequence[Run], wires: Iterable[Wire]) -> str:
    """The point at which most wires of a harness end, where its lay-up begins."""
    ends: dict[str, int] = {}
    for run in runs:
        ends |= {run.from_point: 0, run.to_point: 0}
    for wire in wires:
        for end in (wire.a, wire.b):
            if end.kind in ("pin", "half") and end.point in ends:
                ends[end.point] += 1
    return max(ends, key=lambda point: (ends[point], -list(ends).index(point)))


def onward(runs: Sequence[Run], root: str) -> dict[str, tuple[str, ...]]:
    """Run id -> the runs that go on from its far end, seen from the root; nearest runs first."""
    rope = _rope(runs)
    return {
        rope.edges[near, far]["run"]: tuple(
            rope.edges[far, point]["run"] for point in rope[far] if point != near
        )
        for near, far in _outwards(rope, root)
    }


def near_ends(runs: Sequence[Run], root: str) -> dict[str, str]:
    """Run id -> the point at its end nearer to the root, for every run that hangs on it."""
    rope = _rope(runs)
    return {rope.edges[near, far]["run"]: near for near, far in _outwards(rope, root)}


def _rope(runs: Sequence[Run]) -> nx.Graph[str]:
    """Points, joined by the runs between them."""
    rope: nx.Graph[str] = nx.Graph()
    for run in runs:
        rope.add_edge(run.from_point, run.to_point, run=run.id)
    return rope


def _outwards(rope: nx.Graph[str], root: str) -> Iterable[tuple[str, str]]:
    """(nearer, farther point) of every run, nearest first; none where the root is not on it."""
    return nx.bfs_edges(rope, root) if root in rope else ()

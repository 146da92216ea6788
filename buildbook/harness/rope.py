"""The rope of every harness as one graph, with the crossings between harnesses."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import networkx as nx

from buildbook.description.move.layout import CROSSING_M
from buildbook.vehicle.model import PassThrough, Pin, Run, Vehicle


class State(NamedTuple):
    """A place on the rope: a point as part of one harness."""

    point: str
    harness: str


@dataclass(frozen=True)
class Through:
    """Crossing from one harness to another at a pass-through."""

    device: str


@dataclass(frozen=True)
class Post:
    """Crossing on a stud of the circuit itself, which takes terminals of both harnesses."""

    pin: str


RopeNode = State | Through | Post


@dataclass(frozen=True)
class Rope:
    """The rope of every harness as one graph, with the shortest ways inside each harness."""

    graph: nx.Graph[RopeNode]
    runs: dict[str, Run]
    harnesses_at: dict[str, tuple[str, ...]]
    """Point -> harnesses that reach it, in the order of the description."""
    inside: dict[str, dict[str, tuple[dict[str, float], dict[str, list[str]]]]]
    """Harness -> point -> (length in m to each point, points on the way)."""
    run_between: dict[tuple[str, str, str], Run]
    """(harness, point, point), both ways round."""
    passes: dict[str, PassThrough]
    ways: dict[RopeNode, tuple[dict[RopeNode, float], dict[RopeNode, list[RopeNode]]]]
    """Node -> (length in m to each node, nodes on the way), from harness to harness."""

    def length_m(self, harness: str, a: str, b: str) -> float:
        """Rope length between two points of one harness."""
        return self.inside[harness][a][0][b]

    def path(self, harness: str, a: str, b: str) -> tuple[str, ...]:
        """Points on the way from a to b."""
        return tuple(self.inside[harness][a][1][b])

    def runs_beside(self, harness: str, point: str) -> list[Run]:
        """Runs of a harness that end at a point."""
        return [
            run
            for run in self.runs.values()
            if run.harness == harness and point in (run.from_point, run.to_point)
        ]

    def runs_on(self, harness: str, points: tuple[str, ...]) -> tuple[Run, ...]:
        """Runs along a path of points."""
        return tuple(
            self.run_between[harness, a, b] for a, b in zip(points, points[1:], strict=False)
        )


def lay_rope(vehicle: Vehicle) -> Rope:
    """Join the runs of every harness, and the harnesses at their pass-throughs, in one graph.

    A place that no run reaches stands alone in the first harness: wires inside it need no rope.
    """
    graph: nx.Graph[RopeNode] = nx.Graph()
    by_harness: dict[str, nx.Graph[str]] = {}
    between: dict[tuple[str, str, str], Run] = {}
    at: dict[str, list[str]] = {}
    for run in vehicle.runs:
        part = by_harness.setdefault(run.harness, nx.Graph())
        known = between.get((run.harness, run.from_point, run.to_point))
        if known is not None and known.length_m <= run.length_m:
            continue
        part.add_edge(run.from_point, run.to_point, length=run.length_m)
        a, b = State(run.from_point, run.harness), State(run.to_point, run.harness)
        graph.add_edge(a, b, length=run.length_m)
        between[run.harness, run.from_point, run.to_point] = run
        between[run.harness, run.to_point, run.from_point] = run
        for point in (run.from_point, run.to_point):
            if run.harness not in at.setdefault(point, []):
                at[point].append(run.harness)
    home = next(iter(vehicle.description.rope), "")
    for device in vehicle.devices.values():
        if device.point and device.point not in at:
            at[device.point] = [home]
            by_harness.setdefault(home, nx.Graph()).add_node(device.point)
            graph.add_node(State(device.point, home))
    passes = {p.device: p for p in vehicle.pass_throughs}
    for through in vehicle.pass_throughs:
        for harness in through.harnesses:
            state = State(through.point, harness)
            if state in graph:
                graph.add_edge(state, Through(through.device), length=CROSSING_M / 2)
    return Rope(
        graph=graph,
        runs={run.id: run for run in vehicle.runs},
        harnesses_at={point: tuple(found) for point, found in at.items()},
        inside={h: dict(nx.all_pairs_dijkstra(g, weight="length")) for h, g in by_harness.items()},
        run_between=between,
        passes=passes,
        ways=dict(nx.all_pairs_dijkstra(graph, weight="length")),
    )


def with_crossings(
    rope: Rope, closed: frozenset[str], posts: Iterable[Pin], vehicle: Vehicle
) -> Rope:
    """The rope with some pass-throughs shut and with crossings on the circuit's own studs."""
    graph = rope.graph.copy()
    graph.remove_nodes_from([Through(device) for device in closed if Through(device) in graph])
    for pin in posts:
        point = vehicle.devices[pin.device].point
        for harness in rope.harnesses_at.get(point, ()):
            graph.add_edge(State(point, harness), Post(pin.id), length=CROSSING_M / 2)
    ways = dict(nx.all_pairs_dijkstra(graph, weight="length"))
    return Rope(
        graph, rope.runs, rope.harnesses_at, rope.inside, rope.run_between, rope.passes, ways
    )

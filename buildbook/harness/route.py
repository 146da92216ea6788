"""Where each circuit runs: a tree over the rope, crossing harnesses only at pass-throughs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import networkx as nx

from buildbook.vehicle.model import Circuit, PassThrough, Pin, Run, Vehicle

CROSSING_M = 0.5
"""What crossing a connector counts for when routes are compared: two terminals and a risk."""


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


@dataclass(frozen=True)
class Rope:
    """The rope of every harness as one graph, with the shortest ways inside each harness."""

    graph: nx.Graph
    runs: dict[str, Run]
    harnesses_at: dict[str, tuple[str, ...]]
    """Point -> harnesses that reach it, in the order of the description."""
    inside: dict[str, dict[str, tuple[dict[str, float], dict[str, list[str]]]]]
    """Harness -> point -> (length in m to each point, points on the way)."""
    run_between: dict[tuple[str, str, str], Run]
    """(harness, point, point), both ways round."""
    passes: dict[str, PassThrough]
    ways: dict[object, tuple[dict[object, float], dict[object, list[object]]]]

    def length_m(self, harness: str, a: str, b: str) -> float:
        """Rope length between two points of one harness."""
        return self.inside[harness][a][0][b]

    def path(self, harness: str, a: str, b: str) -> tuple[str, ...]:
        """Points on the way from a to b."""
        return tuple(self.inside[harness][a][1][b])

    def runs_on(self, harness: str, points: tuple[str, ...]) -> tuple[Run, ...]:
        """Runs along a path of points."""
        return tuple(
            self.run_between[harness, a, b] for a, b in zip(points, points[1:], strict=False)
        )


@dataclass(frozen=True)
class Piece:
    """The part of a circuit inside one harness, before it is cut into wires."""

    harness: str
    points: tuple[str, ...]
    pins: tuple[str, ...]
    cap_point: str
    """Point of an insulated end, or ''."""
    throughs: tuple[str, ...]
    """Pass-through devices where the circuit leaves for another harness."""


@dataclass(frozen=True)
class Route:
    """A circuit's tree, piece by piece; the first piece holds the circuit's first pin."""

    circuit: str
    pieces: tuple[Piece, ...]

    @property
    def throughs(self) -> tuple[str, ...]:
        """Pass-throughs that the circuit crosses."""
        return tuple(dict.fromkeys(device for piece in self.pieces for device in piece.throughs))


def lay_rope(vehicle: Vehicle) -> Rope:
    """Join the runs of every harness, and the harnesses at their pass-throughs, in one graph.

    A place that no run reaches stands alone in the first harness: wires inside it need no rope.
    """
    graph: nx.Graph = nx.Graph()
    by_harness: dict[str, nx.Graph] = {}
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


def _without(rope: Rope, closed: frozenset[str], posts: Iterable[Pin], vehicle: Vehicle) -> Rope:
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


def _grow(rope: Rope, states: list[State]) -> tuple[float, list[tuple[object, object]]] | None:
    """Join the states by a short tree: again and again the nearest one not yet joined.

    On a rope without loops this is the least tree; with two pass-throughs between the same
    harnesses it is the shortest-path heuristic, tried from each state in turn.
    """
    wanted = list(dict.fromkeys(states))
    best = None
    for start in wanted[:6]:
        nodes: dict[object, None] = {start: None}
        edges: list[tuple[object, object]] = []
        total = 0.0
        left = [state for state in wanted if state != start]
        while left:
            reach = [
                (rope.ways[state][0][node], at, state, node)
                for at, state in enumerate(left)
                for node in nodes
                if node in rope.ways[state][0]
            ]
            if not reach:
                return None
            length, _, state, node = min(reach, key=lambda found: found[:2])
            total += length
            way = rope.ways[node][1][state]
            edges += zip(way, way[1:], strict=False)
            nodes.update(dict.fromkeys(way))
            left = [other for other in left if other not in nodes]
        if best is None or total < best[0] - 1e-9:
            best = total, edges
    return best


def _assign(rope: Rope, ends: Mapping[str, str], anchor: str) -> dict[str, State] | None:
    """Give each end (id -> point) the harness that it joins: the anchor's, else the nearest."""
    chosen: dict[str, State] = {}
    for end, point in ends.items():
        if anchor in rope.harnesses_at[point]:
            chosen[end] = State(point, anchor)
    if not chosen:
        return None
    home = next(iter(chosen.values()))
    for end, point in ends.items():
        if end in chosen:
            continue
        states = [State(point, harness) for harness in rope.harnesses_at[point]]
        reachable = [state for state in states if state in rope.ways[home][0]]
        if not reachable:
            return None
        chosen[end] = min(reachable, key=lambda state: rope.ways[home][0][state])
    return {end: chosen[end] for end in ends}


def find_route(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    cap_point: str = "",
    closed: frozenset[str] = frozenset(),
) -> Route | None:
    """Lay a circuit over the rope, or None where no way joins its ends.

    `closed` names pass-throughs that it may not use. Every point must be on the rope. A stud
    joins two harnesses only where no pass-through does.
    """
    ends = {pin.id: vehicle.devices[pin.device].point for pin in circuit.pins}
    if cap_point:
        ends["cap"] = cap_point
    studs = [pin for pin in circuit.pins if pin.stud]
    for posts in ([], studs) if studs else ([],):
        used = _without(rope, closed, posts, vehicle) if closed or posts else rope
        best: tuple[float, list[tuple[object, object]], dict[str, State]] | None = None
        for anchor in _anchors(rope, circuit, ends):
            states = _assign(used, ends, anchor)
            grown = _grow(used, list(states.values())) if states else None
            if grown and states and (best is None or grown[0] < best[0] - 1e-9):
                best = (*grown, states)
        if best:
            return Route(circuit.id, _pieces(best[1], best[2]))
    return None


def _anchors(rope: Rope, circuit: Circuit, ends: Mapping[str, str]) -> tuple[str, ...]:
    if circuit.written.harness:
        return (circuit.written.harness,)
    return tuple(dict.fromkeys(h for point in ends.values() for h in rope.harnesses_at[point]))


def _pieces(edges: list[tuple[object, object]], states: dict[str, State]) -> tuple[Piece, ...]:
    """Cut the tree where it crosses from harness to harness."""
    tree: nx.Graph = nx.Graph()
    tree.add_nodes_from(states.values())
    tree.add_edges_from(edges)
    order = {node: at for at, node in enumerate(tree.nodes)}
    rope_only = tree.subgraph([node for node in tree if isinstance(node, State)])
    groups = sorted(
        nx.connected_components(rope_only), key=lambda group: min(order[n] for n in group)
    )
    pieces = []
    for group in groups:
        inside = sorted(group, key=order.__getitem__)
        beside = list(dict.fromkeys(n for node in inside for n in tree[node] if n not in group))
        posts = {node.pin for node in beside if isinstance(node, Post)}
        pins = [end for end, state in states.items() if state in group and end != "cap"]
        pieces.append(
            Piece(
                harness=inside[0].harness,
                points=tuple(state.point for state in inside),
                pins=tuple(pins) + tuple(sorted(posts - set(pins))),
                cap_point=states["cap"].point if states.get("cap") in group else "",
                throughs=tuple(node.device for node in beside if isinstance(node, Through)),
            )
        )
    return tuple(pieces)

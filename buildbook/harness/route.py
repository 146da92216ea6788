"""Where each circuit runs: a tree over the rope, crossing harnesses only at pass-throughs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

import networkx as nx

from buildbook.harness.rope import Post, Rope, RopeNode, State, Through, with_crossings
from buildbook.vehicle.model import Circuit, Vehicle

STARTS = 6
"""Ends from which a tree is grown, to take the shortest; judgement, no source."""


@dataclass(frozen=True)
class CircuitPiece:
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
    pieces: tuple[CircuitPiece, ...]

    @property
    def throughs(self) -> tuple[str, ...]:
        """Pass-throughs that the circuit crosses."""
        return tuple(dict.fromkeys(device for piece in self.pieces for device in piece.throughs))


Ways = Mapping[RopeNode, tuple[Mapping[RopeNode, float], Mapping[RopeNode, list[RopeNode]]]]
"""Node -> (length in m to each node, nodes on the way)."""
Edges = list[tuple[RopeNode, RopeNode]]


def _grow(rope: Rope, states: list[State]) -> tuple[float, Edges] | None:
    """Join the states by a short tree: again and again the nearest one not yet joined.

    On a rope without loops this is the least tree, whatever it starts from. With two pass-throughs
    between the same harnesses it is the heuristic of Takahashi and Matsuyama (1980, from memory),
    tried from `STARTS` of the states: more of them could only find a shorter way. Wherever the
    shortest was begun, its edges come as they grow from the first state: the same tree always
    gives the same order, and with it the same numbers and first ends of wires.
    """
    wanted = list(dict.fromkeys(states))
    best: tuple[float, Edges] | None = None
    for start in wanted[:STARTS]:
        grown = _grow_from(rope.ways, start, wanted)
        if grown is None:
            return None
        if best is None or grown[0] < best[0] - 1e-9:
            best = grown
    if best is None:
        return None
    tree = rope.graph.edge_subgraph(best[1])
    ways = dict(nx.all_pairs_dijkstra(tree, weight="length"))
    return _grow_from(ways, wanted[0], wanted) if best[1] else best


def _grow_from(ways: Ways, start: State, wanted: list[State]) -> tuple[float, Edges] | None:
    """Length in m and edges of the tree that grows from one state to all; None with no way."""
    nodes: dict[RopeNode, None] = {start: None}
    edges: Edges = []
    total = 0.0
    left = [state for state in wanted if state != start]
    while left:
        reach = [
            (ways[state][0][node], at, state, node)
            for at, state in enumerate(left)
            for node in nodes
            if node in ways[state][0]
        ]
        if not reach:
            return None
        length, _, state, node = min(reach, key=lambda found: found[:2])
        total += length
        way = ways[node][1][state]
        edges += zip(way, way[1:], strict=False)
        nodes.update(dict.fromkeys(way))
        left = [other for other in left if other not in nodes]
    return total, edges


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


@dataclass(frozen=True)
class Way:
    """One way of a circuit over the rope, and the key by which it is taken."""

    harness: str
    """What `harness` of the circuit says for it."""
    counted_m: float
    """Length by which ways are compared: rope, and what each crossing counts for."""
    rope_m: float
    route: Route

    @property
    def harnesses(self) -> tuple[str, ...]:
        """Those that it runs in, the first pin's first."""
        return tuple(dict.fromkeys(piece.harness for piece in self.route.pieces))


def find_route(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    cap_point: str = "",
    closed: frozenset[str] = frozenset(),
) -> Route | None:
    """Lay a circuit over the rope, or None where no way joins its ends.

    `closed` names pass-throughs that it may not use. Every point must be on the rope. A stud
    joins two harnesses only where no pass-through does. The shortest way is taken, the first of
    several as short; `harness` of the circuit leaves the one that keeps to that harness.
    """
    ways = ways_of(vehicle, rope, circuit, cap_point, closed)
    said = circuit.written.harness
    ways = [way for way in ways if way.harness == said] if said else ways
    return ways[0].route if ways else None


def ways_of(
    vehicle: Vehicle,
    rope: Rope,
    circuit: Circuit,
    cap_point: str = "",
    closed: frozenset[str] = frozenset(),
) -> list[Way]:
    """The way of a circuit for each harness that it may keep to, the shortest first."""
    ends = {pin.id: vehicle.devices[pin.device].point for pin in circuit.pins}
    if cap_point:
        ends["cap"] = cap_point
    studs = [pin for pin in circuit.pins if pin.stud]
    anchors = dict.fromkeys(h for point in ends.values() for h in rope.harnesses_at[point])
    said = circuit.written.harness
    for posts in ([], studs) if studs else ([],):
        used = with_crossings(rope, closed, posts, vehicle) if closed or posts else rope
        found = [way for anchor in anchors if (way := _way(used, circuit, ends, anchor))]
        if any(way.harness == said for way in found) if said else found:
            return _shortest_first(found)
    return []


def _way(rope: Rope, circuit: Circuit, ends: Mapping[str, str], anchor: str) -> Way | None:
    """The shortest way that keeps to a harness wherever that reaches an end."""
    states = _assign(rope, ends, anchor)
    grown = _grow(rope, list(states.values())) if states else None
    if not grown or not states:
        return None
    lengths = {
        frozenset((a, b)): rope.graph.edges[a, b]["length"]
        for a, b in grown[1]
        if isinstance(a, State) and isinstance(b, State)
    }
    return Way(
        anchor, grown[0], fsum(lengths.values()), Route(circuit.id, _pieces(grown[1], states))
    )


def _shortest_first(ways: list[Way]) -> list[Way]:
    """By length, the first of several that are as long but for rounding."""
    return sorted(ways, key=lambda way: round(way.counted_m, 9))


def _pieces(edges: Edges, states: dict[str, State]) -> tuple[CircuitPiece, ...]:
    """Cut the tree where it crosses from harness to harness."""
    tree: nx.Graph[RopeNode] = nx.Graph()
    tree.add_nodes_from(states.values())
    tree.add_edges_from(edges)
    order = {node: at for at, node in enumerate(tree.nodes)}
    rope_only = tree.subgraph([node for node in tree if isinstance(node, State)])
    groups = sorted(
        nx.connected_components(rope_only), key=lambda group: min(order[n] for n in group)
    )
    pieces = []
    for group in groups:
        inside = [n for n in sorted(group, key=order.__getitem__) if isinstance(n, State)]
        beside = list(dict.fromkeys(n for node in inside for n in tree[node] if n not in group))
        posts = {node.pin for node in beside if isinstance(node, Post)}
        pins = [end for end, state in states.items() if state in group and end != "cap"]
        pieces.append(
            CircuitPiece(
                harness=inside[0].harness,
                points=tuple(state.point for state in inside),
                pins=tuple(pins) + tuple(sorted(posts - set(pins))),
                cap_point=states["cap"].point if states.get("cap") in group else "",
                throughs=tuple(node.device for node in beside if isinstance(node, Through)),
            )
        )
    return tuple(pieces)

"""A data bus as it is laid: its line from end to end, and what branches off it, by real lengths."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

import networkx

from buildbook.harness.model import Harness


@dataclass(frozen=True)
class Stub:
    """A device off the line: its pin, and the wire from the line to it."""

    pin: str
    length_m: float


@dataclass(frozen=True)
class Stop:
    """A place on the line: a pin, a splice or a pass-through contact, and what hangs on it."""

    node: str
    kind: str
    """pin, splice, half"""
    from_last_m: float
    """Along the line from the stop before; 0 at the first."""
    stubs: tuple[Stub, ...]


@dataclass(frozen=True)
class BusLine:
    """One wire of a bus from end to end."""

    stops: tuple[Stop, ...]

    @property
    def length_m(self) -> float:
        return fsum(stop.from_last_m for stop in self.stops)

    def stub_m(self, device: str) -> float | None:
        """Stub of a device that is off the line; None for one on it."""
        return next(
            (
                stub.length_m
                for stop in self.stops
                for stub in stop.stubs
                if stub.pin.rsplit(".", 1)[0] == device
            ),
            None,
        )


def bus_line(harness: Harness, circuit: str, ends: Iterable[str]) -> BusLine:
    """The line of one circuit of a bus: between the two devices that terminate it.

    Where not exactly two of `ends` are on the circuit, between the two pins furthest apart.
    Lengths are those of the wires as cut; a pass-through joins its halves without length.
    """
    graph = _graph(harness, circuit)
    pins = [node for node in graph if graph.nodes[node]["kind"] == "pin"]
    if not pins:
        return BusLine(())
    lengths = dict(networkx.all_pairs_dijkstra_path_length(graph))
    ended = [pin for pin in pins if pin.rsplit(".", 1)[0] in set(ends)]
    pairs = [(a, b) for n, a in enumerate(ended) for b in ended[n + 1 :] if b in lengths[a]]
    if len(ended) != 2 or not pairs:
        pairs = [(a, b) for n, a in enumerate(pins) for b in pins[n + 1 :] if b in lengths[a]]
    first, last = max(pairs, key=lambda p: lengths[p[0]][p[1]], default=(pins[0], pins[0]))
    way = networkx.dijkstra_path(graph, first, last)
    off = {
        pin: min(way, key=lambda node: lengths[pin].get(node, float("inf")))
        for pin in pins
        if pin not in way and first in lengths[pin]
    }
    return BusLine(tuple(_stops(graph, lengths, way, off)))


def apart_m(harness: Harness, circuit: str) -> dict[str, dict[str, float]]:
    """Device -> every device that the circuit's wire reaches -> length of the wire between, m."""
    graph = _graph(harness, circuit)
    device_of = {
        node: node.rsplit(".", 1)[0] for node in graph if graph.nodes[node]["kind"] == "pin"
    }
    found: dict[str, dict[str, float]] = {}
    for pin, device in device_of.items():
        away = networkx.single_source_dijkstra_path_length(graph, pin)
        found[device] = {
            device_of[node]: length for node, length in away.items() if node in device_of
        }
    return found


def _graph(harness: Harness, circuit: str) -> networkx.Graph[str]:
    """Wires of the circuit as edges with their cut length, halves of contacts joined."""
    graph: networkx.Graph[str] = networkx.Graph()
    for wire in harness.wires.values():
        if wire.circuit == circuit:
            for end in (wire.a, wire.b):
                graph.add_node(_place(end.node, end.kind), kind=end.kind)
            a, b = (_place(end.node, end.kind) for end in (wire.a, wire.b))
            graph.add_edge(a, b, weight=wire.cut_m)
    return graph


def _place(node: str, kind: str) -> str:
    return node.rsplit("/", 1)[0] if kind == "half" else node


def _stops(
    graph: networkx.Graph[str],
    lengths: Mapping[str, Mapping[str, float]],
    way: Sequence[str],
    off: dict[str, str],
) -> Iterable[Stop]:
    for n, node in enumerate(way):
        stubs = sorted((lengths[pin][node], pin) for pin, at in off.items() if at == node)
        from_last = graph.edges[way[n - 1], node]["weight"] if n else 0.0
        yield Stop(
            node,
            graph.nodes[node]["kind"],
            from_last,
            tuple(Stub(pin, metres) for metres, pin in stubs),
        )

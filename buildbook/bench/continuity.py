"""Continuity and isolation of one harness alone: what must be joined, and to nothing else."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import networkx

from buildbook.bench.model import BenchNet, Probing, Terminal
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.model import End, Wire


def bench_nets(bench: HarnessOnBench) -> tuple[BenchNet, ...]:
    """Each set of terminals that this harness joins as it lies on the bench, by circuit.

    Rings that will share a stud are apart until it holds them; a capped end cannot be probed.
    Nets are in the order of their circuits' numbers, terminals as their wires are.
    """
    graph: networkx.Graph[str] = networkx.Graph()
    ends: dict[str, End] = {}
    wires: dict[str, list[Wire]] = defaultdict(list)
    for wire in bench.wires:
        ohms = bench.conductor(wire).ohm_per_m_20c * wire.cut_m
        a, b = (_loose(end, wire) for end in (wire.a, wire.b))
        if not graph.has_edge(a, b) or ohms < graph.edges[a, b]["ohms"]:
            graph.add_edge(a, b, ohms=ohms, wire=wire.id)
        for node, end in ((a, wire.a), (b, wire.b)):
            ends[node] = end
            wires[node].append(wire)
    nets = [_net(graph, part, ends, wires) for part in networkx.connected_components(graph)]
    number = {c.id: c.number for c in bench.vehicle.circuits.values()}
    return tuple(sorted(nets, key=lambda net: (number.get(net.circuit, 0), net.wires)))


def _loose(end: End, wire: Wire) -> str:
    """The node of an end on the bench: a ring on a stud is one of its own."""
    return f"{end.node} {wire.id}" if end.kind == "pin" and not end.connector else end.node


def _net(
    graph: networkx.Graph[str], part: set[str], ends: dict[str, End], wires: dict[str, list[Wire]]
) -> BenchNet:
    nodes = [n for n in ends if n in part and ends[n].kind not in ("splice", "capped")]
    own = tuple(dict.fromkeys(wire.id for n in wires if n in part for wire in wires[n]))
    circuit = next(wire.circuit for n in wires if n in part for wire in wires[n])
    if not nodes:
        return BenchNet(circuit, own, None, ())
    away = networkx.single_source_dijkstra_path_length(graph, nodes[0], weight="ohms")
    ways = networkx.single_source_dijkstra_path(graph, nodes[0], weight="ohms")
    first, *others = (Terminal(ends[n], tuple(wires[n])) for n in nodes)
    found = (
        Probing(t, away[n], tuple(graph.edges[link]["wire"] for link in pairwise(ways[n])))
        for t, n in zip(others, nodes[1:], strict=True)
    )
    return BenchNet(circuit, own, first, tuple(found))


def probings(nets: tuple[BenchNet, ...]) -> int:
    """How often the plan probes: every terminal but one, so never less than a tree of them takes.

    Within a net the first terminal to each other; then the net, but for the first of all, to
    the bar that the nets before it are clipped to.
    """
    reached = [net for net in nets if net.first]
    return sum(len(net.others) for net in reached) + max(0, len(reached) - 1)

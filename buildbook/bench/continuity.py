"""Continuity and isolation of one harness alone: what must beep, and what must not."""

from __future__ import annotations

import math

import networkx

from buildbook.bench.model import ContinuitySet, IsolationTest
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.model import End
from buildbook.vehicle.faces import cavity_places

BESIDE = 1.5
"""Cavities up to so many pitches apart are neighbours: beside, above and across the corner."""


def continuity_sets(bench: HarnessOnBench) -> tuple[ContinuitySet, ...]:
    """Each set of terminals that this harness connects, by circuit; single capped wires too."""
    graph: networkx.Graph[str] = networkx.Graph()
    ends: dict[str, End] = {}
    circuit_of: dict[str, str] = {}
    for wire in bench.wires:
        ohms = bench.conductor(wire).ohm_per_m_20c * wire.cut_m
        graph.add_edge(wire.a.node, wire.b.node, ohms=ohms)
        ends |= {wire.a.node: wire.a, wire.b.node: wire.b}
        for end in (wire.a, wire.b):
            circuit_of.setdefault(end.node, wire.circuit)
    found = []
    for part in networkx.connected_components(graph):
        nodes = [n for n in ends if n in part and ends[n].kind != "splice"]
        away = networkx.single_source_dijkstra_path_length(graph, nodes[0], weight="ohms")
        circuit = circuit_of[nodes[0]]
        found.append(
            ContinuitySet(circuit, tuple(ends[n] for n in nodes), tuple(away[n] for n in nodes[1:]))
        )
    number = {c.id: c.number for c in bench.vehicle.circuits.values()}
    return tuple(sorted(found, key=lambda j: (number.get(j.circuit, 0), j.ends[0].node)))


def isolation_tests(
    bench: HarnessOnBench, sets: tuple[ContinuitySet, ...]
) -> tuple[IsolationTest, ...]:
    """For every wired cavity, the neighbouring wired cavities of other sets, each pair once."""
    of = {end.node: n for n, one in enumerate(sets) for end in one.ends}
    wired: dict[str, dict[str, tuple[str, str]]] = {}
    for wire in bench.wires:
        for end in (wire.a, wire.b):
            if end.connector:
                wired.setdefault(end.connector, {})[end.cavity] = (end.node, wire.id)
    found = []
    for name, cavities in wired.items():
        places = cavity_places(bench.harness.connectors[name].plug)
        order = list(cavities)
        for n, cavity in enumerate(order):
            node, wire_id = cavities[cavity]
            others = tuple(
                other
                for other in order[n + 1 :]
                if of[cavities[other][0]] != of[node]
                and math.dist(places[cavity], places[other]) <= BESIDE
            )
            if others:
                found.append(IsolationTest(name, cavity, wire_id, others))
    return tuple(found)

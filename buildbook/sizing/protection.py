"""Which fuse stands before each wire, between it and every source of fault current."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import networkx as nx

from buildbook.electrical.model import Branch, Solution
from buildbook.harness.model import Harness, Wire
from buildbook.sizing.load_paths import LoadPath
from buildbook.sizing.zones import Guard, Zones, power_branches, zones_of
from buildbook.vehicle.model import Vehicle

PART = 0.01
"""A branch with less of a node's current than this only leaks, and leads nowhere."""
UNFUSED = ""
"""Stands among the fuses of a wire that a battery reaches past every fuse."""


@dataclass(frozen=True)
class Protection:
    """What stands before each wire, by wire id."""

    fuses: Mapping[str, frozenset[str]]
    """Fuses of which one stands before it; empty where a battery reaches it past every fuse."""
    unfused_a: Mapping[str, float]
    """Amps that sources drive into it past every fuse: endless for a battery, 0 for none."""
    switched: frozenset[str] = frozenset()
    """Wires that an isolator parts from every battery."""
    returning: frozenset[str] = frozenset()
    """Wires from the body back to the batteries, where a short past every fuse returns."""


@dataclass
class _Flow:
    """One state's currents by node, without loads and what merely leaks, as far as asked for."""

    solution: Solution
    known: dict[tuple[str, bool], list[tuple[Branch, str]]] = field(default_factory=dict)

    def through(self, node: str, inwards: bool) -> list[tuple[Branch, str]]:
        """Branches that bring a node its current, or take it away, each with its other end."""
        if (node, inwards) not in self.known:
            there = [
                (abs(amps), branch, branch.a if branch.b == node else branch.b)
                for branch, amps in self.solution.at.get(node, ())
                if _brings(branch, node, amps) == inwards
            ]
            least = PART * math.fsum(amps for amps, _, _ in there)
            self.known[node, inwards] = [
                (branch, other) for amps, branch, other in there if amps >= least and branch.leads
            ]
        return self.known[node, inwards]


def _brings(branch: Branch, node: str, amps: float) -> bool:
    """Whether a current goes into a node; none counts as going from the branch's b to its a."""
    return amps > 0 or (amps == 0 and branch.a == node)


def protection_of(
    vehicle: Vehicle,
    harness: Harness,
    paths: Iterable[LoadPath],
    solutions: Mapping[str, Solution],
) -> Protection:
    """What stands between each wire and the sources, in all states together.

    A wire that a source reaches past no load has the nearest fuses on the ways from every source,
    whichever drives the current now. One on the body's side of a load has the load's fuses, as
    far as the body: what leads on from there to the battery serves all loads at once. A sensor
    whose supply limits its own current asks nothing of the return that it shares.
    """
    every: dict[str, Branch] = {}
    for solution in solutions.values():
        every.update(solution.branches)
    power = power_branches(vehicle, every.values())
    zones = {s: zones_of(vehicle, x.branches.values(), power) for s, x in solutions.items()}
    guards = _live_guards(harness, zones.values())
    behind = _behind_loads(vehicle, paths, solutions, zones)
    still = zones_of(vehicle, every.values(), power)
    found: dict[str, frozenset[str]] = {}
    unfused_a: dict[str, float] = {}
    for id_, wire in harness.wires.items():
        guard = guards.get(id_)
        if guard is None and id_ in behind:
            guard = Guard(behind[id_])
        if guard is None:
            guard = still.guard(_end_in(still, wire))
        bare = UNFUSED in guard.fuses or math.isinf(guard.unfused_a)
        found[id_] = frozenset() if bare else guard.fuses
        unfused_a[id_] = guard.unfused_a
    returning: frozenset[str] = frozenset()
    if math.inf in unfused_a.values():
        returning = _returning(vehicle, every.values(), power) - guards.keys()
        unfused_a |= dict.fromkeys(returning, math.inf)
    live = {
        end
        for source in vehicle.supply.batteries
        for end in (power[source.id].a, power[source.id].b)
        if not still.is_body(end)
    }
    switched = _switched(vehicle, harness, every.values(), live)
    return Protection(found, unfused_a, switched, returning)


def _returning(
    vehicle: Vehicle, branches: Iterable[Branch], power: Mapping[str, Branch]
) -> frozenset[str]:
    """Wires by which a short to the body comes back to the batteries, the easiest way to each."""
    graph: nx.Graph[str] = nx.Graph()
    for branch in branches:
        if branch.joins:
            graph.add_edge(branch.a, branch.b, ohms=branch.on_ohms, branch=branch)
    found: set[str] = set()
    for battery in vehicle.supply.batteries:
        ends = power[battery.id]
        end = ends.a if battery.plus_pin == vehicle.supply.earthed_pin else ends.b
        if {end, "chassis"} <= graph.nodes and nx.has_path(graph, end, "chassis"):
            way = nx.shortest_path(graph, end, "chassis", weight="ohms")
            on_way = (graph.edges[pair]["branch"] for pair in zip(way, way[1:], strict=False))
            found |= {branch.ref for branch in on_way if branch.kind == "wire"}
    return frozenset(found)


def _switched(
    vehicle: Vehicle, harness: Harness, branches: Iterable[Branch], live: set[str]
) -> frozenset[str]:
    """Wires that no battery reaches once every isolator is open; those of the body too, if any.

    `live` are the ends of batteries that are not earthed.
    """
    contacts = {c.id for device in vehicle.all_of("isolator") for c in device.contacts}
    if not contacts:
        return frozenset()
    graph: nx.Graph[str] = nx.Graph()
    for branch in branches:
        if branch.joins and branch.kind != "ground" and branch.ref not in contacts:
            graph.add_edge(branch.a, branch.b)
    graph.add_nodes_from(live)
    reached = set().union(*(nx.node_connected_component(graph, end) for end in live))
    return frozenset(w for w, wire in harness.wires.items() if wire.a.node not in reached)


def _end_in(zones: Zones, wire: Wire) -> str:
    """The end of a wire that has a zone of its own: the body itself has none."""
    return wire.b.node if wire.a.node == "chassis" else wire.a.node


def _live_guards(harness: Harness, zones: Iterable[Zones]) -> dict[str, Guard]:
    """Guards of wires that a source reaches past no load in some state, over all states."""
    found: dict[str, Guard] = {}
    for state in zones:
        for id_, wire in harness.wires.items():
            guard = state.guard(_end_in(state, wire))
            if guard.fuses or guard.unfused_a:
                known = found.get(id_, Guard())
                found[id_] = Guard(known.fuses | guard.fuses, max(known.unfused_a, guard.unfused_a))
    return found


def _behind_loads(
    vehicle: Vehicle,
    paths: Iterable[LoadPath],
    solutions: Mapping[str, Solution],
    zones: Mapping[str, Zones],
) -> dict[str, frozenset[str]]:
    """Fuses of wires on the body's side of loads; past the body `UNFUSED`."""
    nodes: dict[tuple[str, bool], dict[str, set[str]]] = {}
    for path in paths:
        solution, zone = solutions[path.state], zones[path.state]
        live, back, outwards = _ends(vehicle, zone, solution, path)
        guard = zone.guard(live)
        said = set(guard.fuses)
        if math.isinf(guard.unfused_a) and not path.source.startswith("source:"):
            said.add(UNFUSED)
        nodes.setdefault((path.state, outwards), {}).setdefault(back, set()).update(said)
    found: dict[str, set[str]] = {}
    for (state, outwards), starts in nodes.items():
        before, after = _returns(_Flow(solutions[state]), starts, outwards)
        for wire, fuses in before.items():
            found.setdefault(wire, set()).update(fuses)
        for wire in after:
            found.setdefault(wire, set()).add(UNFUSED)
    return {wire: frozenset(fuses) for wire, fuses in found.items() if fuses}


def _ends(
    vehicle: Vehicle, zones: Zones, solution: Solution, path: LoadPath
) -> tuple[str, str, bool]:
    """The live end of a load, the one towards the body, and whether current goes out of that.

    Where neither end is at the body, or both are, the earthed post says which it is.
    """
    branch = solution.branches[f"load:{path.load.id}"]
    forward = solution.current_a[branch.id] > 0
    high, low = (branch.a, branch.b) if forward else (branch.b, branch.a)
    low_is_body = vehicle.supply.earth != "positive"
    if zones.is_body(high) != zones.is_body(low):
        low_is_body = zones.is_body(low)
    return (high, low, True) if low_is_body else (low, high, False)


def _returns(
    flow: _Flow, nodes: Mapping[str, Iterable[str]], outwards: bool
) -> tuple[dict[str, set[str]], set[str]]:
    """Wires from nodes as far as the chassis, with what is said of the nodes before each; and on.

    Followed the way that the current goes, or against it. A node is gone through again while more
    of what is said of others reaches it; past the chassis nothing is said any more, only that a
    wire lies there.
    """
    before: dict[str, set[str]] = {}
    after: set[str] = set()
    said: dict[tuple[str, bool], set[str]] = {}
    ahead = [(node, False, frozenset(words)) for node, words in nodes.items()]
    while ahead:
        here, past, words = ahead.pop()
        known = said.get((here, past))
        if known is None:
            known = said[here, past] = set()
        elif words <= known:
            continue
        known |= words
        for branch, other in flow.through(here, not outwards):
            if branch.kind == "wire" and past:
                after.add(branch.ref)
            elif branch.kind == "wire":
                before.setdefault(branch.ref, set()).update(words)
            if branch.kind != "source":
                beyond = past or branch.kind == "ground"
                ahead.append((other, beyond, frozenset() if beyond else words))
    return before, after

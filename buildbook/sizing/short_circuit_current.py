"""Prospective short-circuit current: what a dead short to the body would take at each node."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import networkx as nx

from buildbook.electrical.model import Branch, Solution
from buildbook.sizing.openers import opener_of_branch
from buildbook.sizing.zones import fault_a, power_branches
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.power_model import PowerSource

BODY = "chassis"


@dataclass(frozen=True)
class ShortCircuits:
    """What a dead short takes at every node, from all sources together."""

    amps: Mapping[str, float]
    """Node -> A; not in it: never live."""
    ohms: Mapping[str, float]
    """From inside the source that gives most to the node, and back from the body."""
    last_fuse: Mapping[str, str]
    """The last fuse or output that trips on that way to a node, '' where there is none."""

    def at_a(self, node: str) -> float:
        """Amps of a dead short at a node; 0 where no source reaches it."""
        return self.amps.get(node, 0.0)


@dataclass(frozen=True)
class _Way:
    """The easiest way from the body through a source to a node."""

    ohms: float
    volts: float
    last_fuse: str


def short_circuits(vehicle: Vehicle, solutions: Iterable[Solution]) -> ShortCircuits:
    """The easiest way of a short to every node that a source reaches without passing a load.

    Contacts that close in any state are closed. A battery stands at the highest voltage that it
    is charged to, behind its own resistance: the most that it can give; on the body's side of it
    stand the ways of its earthed post. What sources side by side give is added up, each by the
    way that is easiest for it: more than they give together through a way that they share. An
    alternator, dynamo or converter gives no more than its limit.
    """
    branches: dict[str, Branch] = {}
    for solution in solutions:
        branches.update(solution.branches)
    conducting = _conducting(branches.values(), opener_of_branch(vehicle))
    power = power_branches(vehicle, branches.values())
    amps: dict[str, float] = {}
    best: dict[str, tuple[float, _Way]] = {}
    for source in vehicle.supply.sources:
        for node, way in _ways(vehicle, conducting, power, source).items():
            given_a = min(abs(way.volts) / way.ohms, fault_a(source))
            amps[node] = amps.get(node, 0.0) + given_a
            if node not in best or given_a > best[node][0]:
                best[node] = given_a, way
    return ShortCircuits(
        amps,
        {node: way.ohms for node, (_, way) in best.items()},
        {node: way.last_fuse for node, (_, way) in best.items()},
    )


def _conducting(branches: Iterable[Branch], opener_of: Mapping[str, str]) -> nx.Graph[str]:
    """What a short flows through: between two nodes the branch of the least ohms."""
    network: nx.Graph[str] = nx.Graph()
    for branch in branches:
        if not branch.joins:
            continue
        fuse = opener_of.get(branch.id, "")
        known = network.get_edge_data(branch.a, branch.b)
        if known is None or (branch.on_ohms, fuse) < (known["ohms"], known["fuse"]):
            network.add_edge(branch.a, branch.b, ohms=branch.on_ohms, fuse=fuse, rise=0.0)
    return network


def _ways(
    vehicle: Vehicle,
    conducting: nx.Graph[str],
    power: Mapping[str, Branch],
    source: PowerSource,
) -> dict[str, _Way]:
    """Ways from the body through one source, and on through others that stand on it.

    Nothing where the body reaches neither of its ends but through a load or another source.
    """
    own = power[source.id]
    back = nx.single_source_dijkstra_path_length(
        conducting, _earth(vehicle, conducting, power), weight="ohms"
    )
    near = [(back[n], n) for n in (own.a, own.b) if n in back]
    if not near:
        return {}
    before_ohms, earthed = min(near)
    live = own.a if earthed == own.b else own.b
    others: nx.Graph[str] = conducting.copy()
    others.add_node(live)
    for other in vehicle.supply.batteries:
        ends = power[other.id]
        if other.id != source.id and not {ends.a, ends.b} & back.keys():
            others.add_edge(ends.a, ends.b, ohms=_ohms(other), fuse="", rise=other.highest_v)
    start = before_ohms + _ohms(source)
    return dict(_walked(others, power, live, start, source.highest_v, earthed == own.b))


def _earth(vehicle: Vehicle, conducting: nx.Graph[str], power: Mapping[str, Branch]) -> str:
    """The body; where there is none, the battery post that volts are told against."""
    if BODY in conducting:
        return BODY
    first = power[vehicle.supply.battery.id]
    end = first.a if vehicle.supply.battery.plus_pin == vehicle.supply.earthed_pin else first.b
    conducting.add_node(end)
    return end


def _walked(
    network: nx.Graph[str],
    power: Mapping[str, Branch],
    live: str,
    ohms: float,
    volts: float,
    upwards: bool,
) -> Iterator[tuple[str, _Way]]:
    """Every node that the live end reaches, nearest first, with its way; the body is not passed."""
    plus = {branch.a for branch in power.values()}
    network.remove_nodes_from([BODY] if live != BODY else [])
    before, far = nx.dijkstra_predecessor_and_distance(network, live, weight="ohms")
    ways = {live: _Way(ohms, volts, "")}
    for node in far:  # the nearest first: what comes before a node is known
        for other in before[node][:1]:
            edge = network.edges[other, node]
            rise = edge["rise"] if (node in plus) == upwards else -edge["rise"]
            ways[node] = _Way(
                ohms + far[node], ways[other].volts + rise, edge["fuse"] or ways[other].last_fuse
            )
    yield from ways.items()


def _ohms(source: PowerSource) -> float:
    return min(source.ohms.values())

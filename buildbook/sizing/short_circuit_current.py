"""Prospective short-circuit current: what a dead short to the body would take at each node."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from buildbook.electrical.model import Branch, Solution
from buildbook.vehicle.model import Vehicle


@dataclass(frozen=True)
class ShortCircuits:
    """Volts behind a short, and the ohms of its way by node."""

    volts: float
    ohms: Mapping[str, float]
    """From inside the battery to the node and back from the body; not in it: never live."""
    last_fuse: Mapping[str, str]
    """Bond id of the last fuse on the way to a node, '' where there is none."""

    def at_a(self, node: str) -> float:
        """Amps of a dead short at a node; 0 where the battery does not reach it."""
        ohms = self.ohms.get(node, math.inf)
        return self.volts / ohms


def short_circuits(vehicle: Vehicle, solutions: Iterable[Solution]) -> ShortCircuits:
    """The easiest way of a short to every node that the battery reaches without passing a load.

    Contacts that close in any state are closed. The battery stands at the highest voltage that
    it is charged to, behind its own resistance: the most that it can give.
    """
    branches: dict[str, Branch] = {}
    for solution in solutions:
        branches.update(solution.branches)
    network = _network(branches.values())
    supply = vehicle.supply
    cell = supply.battery_data
    volts = max(cell.volts, supply.generator_data.volts if supply.generator_data else 0.0)
    battery = branches["battery"]
    back, _ = _least_ohms(network, battery.b)
    fixed = cell.resistance + back.get("chassis", 0.0)
    there, last_fuse = _least_ohms(network, battery.a)
    return ShortCircuits(volts, {node: fixed + ohms for node, ohms in there.items()}, last_fuse)


def _network(branches: Iterable[Branch]) -> nx.Graph[str]:
    """What a short flows through: between two nodes the branch of the least ohms."""
    network: nx.Graph[str] = nx.Graph()
    for branch in branches:
        if not branch.joins:
            continue
        fuse = branch.ref if branch.kind == "fuse" else ""
        known = network.get_edge_data(branch.a, branch.b)
        if known is None or (branch.on_ohms, fuse) < (known["ohms"], known["fuse"]):
            network.add_edge(branch.a, branch.b, ohms=branch.on_ohms, fuse=fuse)
    return network


def _least_ohms(network: nx.Graph[str], start: str) -> tuple[dict[str, float], dict[str, str]]:
    """Least ohms from a node to every node it reaches, and the last fuse passed."""
    if start not in network:
        return {start: 0.0}, {start: ""}
    before, ohms = nx.dijkstra_predecessor_and_distance(network, start, weight="ohms")
    fuses = {start: ""}
    for node in ohms:  # the nearest first: what comes before a node is known
        for other in before[node][:1]:
            fuses[node] = network.edges[other, node]["fuse"] or fuses[other]
    return ohms, fuses

"""Prospective short-circuit current: what a dead short to the body would take at each node."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

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
    beside: dict[str, list[tuple[str, Branch]]] = {}
    for branch in branches.values():
        if branch.kind not in ("load", "source"):
            beside.setdefault(branch.a, []).append((branch.b, branch))
            beside.setdefault(branch.b, []).append((branch.a, branch))
    supply = vehicle.description.supply
    volts = max(supply.battery.volts, supply.alternator.volts if supply.alternator else 0.0)
    battery = branches["battery"]
    back, _ = _least_ohms(beside, battery.b)
    fixed = supply.battery.resistance + back.get("chassis", 0.0)
    there, last_fuse = _least_ohms(beside, battery.a)
    return ShortCircuits(volts, {node: fixed + ohms for node, ohms in there.items()}, last_fuse)


def _least_ohms(
    beside: Mapping[str, list[tuple[str, Branch]]], start: str
) -> tuple[dict[str, float], dict[str, str]]:
    """Least ohms from a node to every node it reaches (Dijkstra), and the last fuse passed."""
    found: dict[str, float] = {}
    fuses: dict[str, str] = {}
    waiting = [(0.0, start, "")]
    while waiting:
        ohms, node, fuse = heapq.heappop(waiting)
        if node in found:
            continue
        found[node], fuses[node] = ohms, fuse
        for other, branch in beside.get(node, ()):
            if other not in found:
                passed = branch.ref if branch.kind == "fuse" else fuse
                heapq.heappush(waiting, (ohms + branch.ohms, other, passed))
    return found, fuses

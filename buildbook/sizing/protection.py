"""Which fuse stands before each wire: followed against and along the currents of every state."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import networkx as nx

from buildbook.electrical.model import Branch, Solution
from buildbook.harness.model import Harness
from buildbook.sizing.fuse_load import fuse_of_bond
from buildbook.sizing.load_paths import LoadPath
from buildbook.vehicle.model import Vehicle

PART = 0.01
"""A branch with less of a node's current than this only leaks, and leads nowhere."""
UNFUSED = ""
"""Stands among the fuses of a wire that the battery or alternator reaches past every fuse."""


@dataclass
class _Flow:
    """One state's currents by node, without loads and what merely leaks, as far as asked for."""

    solution: Solution
    known: dict[tuple[str, bool], list[tuple[Branch, str]]] = field(default_factory=dict)
    fuses: dict[str, frozenset[str]] = field(default_factory=dict)
    """Fuses next above a node, as far as they are known."""

    def into(self, node: str) -> list[tuple[Branch, str]]:
        """Branches that bring a node its current, each with the node at its other end."""
        return self._through(node, True)

    def out_of(self, node: str) -> list[tuple[Branch, str]]:
        return self._through(node, False)

    def _through(self, node: str, inwards: bool) -> list[tuple[Branch, str]]:
        if (node, inwards) not in self.known:
            there = [
                (abs(amps), branch, branch.a if branch.b == node else branch.b)
                for branch, amps in self.solution.at.get(node, ())
                if _brings(branch, node, amps) == inwards
            ]
            least = PART * sum(amps for amps, _, _ in there)
            self.known[node, inwards] = [
                (branch, other) for amps, branch, other in there if amps >= least and branch.leads
            ]
        return self.known[node, inwards]


def _brings(branch: Branch, node: str, amps: float) -> bool:
    """Whether a current goes into a node; none counts as going from the branch's b to its a."""
    return amps > 0 or (amps == 0 and branch.a == node)


def protecting_fuses(
    vehicle: Vehicle,
    harness: Harness,
    paths: Iterable[LoadPath],
    solutions: Mapping[str, Solution],
) -> dict[str, frozenset[str]]:
    """Fuses of which one stands before each wire; empty where a current reaches it unfused.

    A feed has the next fuse towards the supply. A return has that of the load it serves, as far
    as the chassis: what leads on from there to the battery serves all loads at once. Where a
    current divides, every part counts. A sensor whose supply limits its own current asks nothing
    of the return that it shares.
    """
    fuse_of = fuse_of_bond(vehicle)
    flows = {state: _Flow(solution) for state, solution in solutions.items()}
    highs: dict[str, set[str]] = {}
    lows: dict[str, dict[str, set[str]]] = {}
    for path in paths:
        flow = flows[path.state]
        branch = flow.solution.branches[f"load:{path.load.id}"]
        forward = flow.solution.current_a[branch.id] > 0
        high, low = (branch.a, branch.b) if forward else (branch.b, branch.a)
        highs.setdefault(path.state, set()).add(high)
        own = _fuses(flow, high, fuse_of)
        if path.source.startswith("source:"):
            own -= {UNFUSED}
        lows.setdefault(path.state, {}).setdefault(low, set()).update(own)
    found: dict[str, set[str]] = {}
    for state, nodes in highs.items():
        flow = flows[state]
        for wire, above in _feeds(flow, nodes).items():
            found.setdefault(wire, set()).update(_fuses(flow, above, fuse_of))
        before, after = _returns(flow, lows[state])
        for wire, fuses in before.items():
            found.setdefault(wire, set()).update(fuses)
        for wire in after:
            found.setdefault(wire, set()).add(UNFUSED)
    bare = {wire for wire, fuses in found.items() if UNFUSED in fuses}
    known = {wire for wire, fuses in found.items() if fuses}
    still = _from_still_wires(vehicle, harness, solutions, known)
    return {
        w: frozenset() if w in bare else frozenset(found.get(w) or still.get(w, frozenset()))
        for w in harness.wires
    }


def _fuses(flow: _Flow, node: str, fuse_of: Mapping[str, str]) -> frozenset[str]:
    """Fuses next above a node, with `UNFUSED` where the supply reaches it past them."""
    if node in flow.fuses:
        return flow.fuses[node]
    flow.fuses[node] = frozenset()
    found: set[str] = set()
    for branch, other in flow.into(node):
        if branch.kind == "fuse":
            found.add(fuse_of[branch.ref])
        elif branch.kind == "source":
            found |= {UNFUSED} if branch.ref in ("battery", "alternator") else set()
        elif other != "chassis":
            found |= _fuses(flow, other, fuse_of)
    flow.fuses[node] = frozenset(found)
    return flow.fuses[node]


def _feeds(flow: _Flow, nodes: Iterable[str]) -> dict[str, str]:
    """Wires above any of the nodes, as far as the supply, each with the node at its upper end."""
    found: dict[str, str] = {}
    seen, ahead = {"chassis"}, list(nodes)
    while ahead:
        here = ahead.pop()
        if here in seen:
            continue
        seen.add(here)
        for branch, other in flow.into(here):
            if branch.kind == "wire":
                found[branch.ref] = other
            if branch.kind != "source":
                ahead.append(other)
    return found


def _returns(
    flow: _Flow, nodes: Mapping[str, Iterable[str]]
) -> tuple[dict[str, set[str]], set[str]]:
    """Wires below nodes as far as the chassis, with what is said of the nodes above each; and on.

    A node is gone through again while more of what is said of others reaches it; past the
    chassis nothing is said any more, only that a wire lies there.
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
        for branch, other in flow.out_of(here):
            if branch.kind == "wire" and past:
                after.add(branch.ref)
            elif branch.kind == "wire":
                before.setdefault(branch.ref, set()).update(words)
            if branch.kind != "source":
                beyond = past or branch.kind == "ground"
                ahead.append((other, beyond, frozenset() if beyond else words))
    return before, after


def _from_still_wires(
    vehicle: Vehicle,
    harness: Harness,
    solutions: Mapping[str, Solution],
    known: set[str],
) -> dict[str, frozenset[str]]:
    """Wires on no load's path: the fuse whose output reaches them without passing a load."""
    joined: nx.Graph[str] = nx.Graph()
    for solution in solutions.values():
        joined.add_edges_from(
            (branch.a, branch.b)
            for branch in solution.branches.values()
            if branch.kind in ("wire", "pin", "contact", "bus")
        )
    joined.remove_nodes_from(["chassis"])
    found: dict[str, frozenset[str]] = {}
    for device in vehicle.all_of("fuse"):
        outputs = [f"{b.to_pin}~" for b in device.bonds if b.kind == "fuse"]
        reached = {*outputs}.union(
            *(nx.node_connected_component(joined, node) for node in outputs if node in joined)
        )
        for wire in harness.wires.values():
            if wire.a.node in reached and wire.id not in known:
                found.setdefault(wire.id, frozenset({device.id}))
    return found

"""Stretches of a network that no fuse parts, and what drives a fault current into each."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

import networkx as nx

from buildbook.electrical.model import Branch
from buildbook.electrical.network import inside
from buildbook.sizing.openers import opener_of_branch
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.power_model import PowerSource

CONDUCTS = frozenset({"wire", "pin", "contact", "bus"})
"""Kinds of branches that part nothing."""
BODY = 0
"""Zone of all that is joined to the body, and of the battery post that is earthed."""


def fault_a(source: PowerSource) -> float:
    """Most that a source drives into a dead short; endless for a battery.

    An alternator, dynamo or converter holds its own limit, at the speed at which it gives most; a
    magneto's winding does.
    """
    if source.kind == "battery":
        return math.inf
    if source.curve:
        return max(amps for _, amps in source.curve)
    return max(
        (min(limit, source.emf_v[s] / source.ohms[s]) for s, limit in source.limit_a.items()),
        default=0.0,
    )


@dataclass(frozen=True)
class Guard:
    """What stands between a zone and the sources: fuses, and amps that come past every fuse."""

    fuses: frozenset[str] = frozenset()
    """Nearest ones; a fault current of some source passes each."""
    unfused_a: float = 0.0
    """Endless past a battery, and no more than a generator or converter can give past that."""


@dataclass
class Zones:
    """The zones of a network, joined by fuses and by sources."""

    zone_of: Mapping[str, int]
    fuse_links: Mapping[int, list[tuple[int, str]]]
    """Zone -> the zones behind its fuses, each with the fuse."""
    source_links: Mapping[int, list[tuple[int, float]]]
    """Zone -> the zones behind its sources, each with the most that the source gives."""
    known: dict[int, Guard] = field(default_factory=dict)

    def guard(self, node: str) -> Guard:
        """What stands before a node; nothing where it is at the body or no source reaches it."""
        zone = self.zone_of.get(node, BODY)
        if zone == BODY:
            return Guard()
        if zone not in self.known:
            self.known[zone] = self._guard(zone)
        return self.known[zone]

    def is_body(self, node: str) -> bool:
        return self.zone_of.get(node) == BODY

    def _guard(self, zone: int) -> Guard:
        """Walk from a zone through sources alone, up to the body or to fuses."""
        crossed = {zone: False}
        ahead, unfused_a = [zone], 0.0
        while ahead:
            here = ahead.pop()
            for there, amps in self.source_links.get(here, ()):
                if there == BODY:
                    unfused_a += amps
                elif there not in crossed:
                    crossed[there] = True
                    ahead.append(there)
        fuses = {
            fuse
            for here, driven in crossed.items()
            for there, fuse in self.fuse_links.get(here, ())
            if there not in crossed and self._is_driven(there, driven, crossed.keys())
        }
        return Guard(frozenset(fuses), unfused_a)

    def _is_driven(self, start: int, driven: bool, without: Iterable[int]) -> bool:
        """Whether a source lies on a way from a zone to the body past none of `without`."""
        seen = {(zone, flag) for zone in without for flag in (False, True)}
        ahead = [(start, driven)]
        while ahead:
            here, flag = ahead.pop()
            if (here, flag) in seen:
                continue
            if here == BODY:
                if flag:
                    return True
                continue
            seen.add((here, flag))
            ahead += [(there, flag) for there, _ in self.fuse_links.get(here, ())]
            ahead += [(there, True) for there, _ in self.source_links.get(here, ())]
        return False


def zones_of(
    vehicle: Vehicle, branches: Iterable[Branch], power_branches: Mapping[str, Branch]
) -> Zones:
    """The zones of what conducts; `power_branches` are the sources' branches by their ids.

    Loads and controllers' outputs of limited current join nothing; an output that trips parts as a
    fuse does.
    """
    branches = list(branches)
    opener_of = opener_of_branch(vehicle)
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(n for b in branches for n in (b.a, b.b))
    graph.add_nodes_from(n for b in power_branches.values() for n in (b.a, b.b))
    graph.add_edges_from(
        (b.a, b.b) for b in branches if b.kind in CONDUCTS and b.id not in opener_of
    )
    if "chassis" in graph:
        graph.remove_node("chassis")
    earthed = {n for b in branches if b.kind == "ground" for n in (b.a, b.b)}
    earthed |= set(_earthed_ends(vehicle, power_branches))
    zone_of: dict[str, int] = {}
    for number, nodes in enumerate(nx.connected_components(graph), start=1):
        zone_of |= dict.fromkeys(nodes, BODY if nodes & earthed else number)
    zone_of["chassis"] = BODY
    fuse_links: dict[int, list[tuple[int, str]]] = {}
    for branch in branches:
        if branch.id in opener_of:
            one, other = zone_of[branch.a], zone_of[branch.b]
            if one != other:
                fuse_links.setdefault(one, []).append((other, opener_of[branch.id]))
                fuse_links.setdefault(other, []).append((one, opener_of[branch.id]))
    source_links: dict[int, list[tuple[int, float]]] = {}
    for source in vehicle.supply.sources:
        if source.id in power_branches:
            ends = power_branches[source.id]
            one, other = zone_of[ends.a], zone_of[ends.b]
            if one != other:
                source_links.setdefault(one, []).append((other, fault_a(source)))
                source_links.setdefault(other, []).append((one, fault_a(source)))
    return Zones(zone_of, fuse_links, source_links)


def power_branches(vehicle: Vehicle, branches: Iterable[Branch]) -> dict[str, Branch]:
    """Source id -> its branch; where no state has one, between its pins."""
    known = {source.id for source in vehicle.supply.sources}
    found = {b.ref: b for b in branches if b.kind == "source" and b.ref in known}
    for source in vehicle.supply.sources:
        if source.id not in found:
            ends = inside(source.plus_pin), inside(source.minus_pin)
            found[source.id] = Branch(source.id, "source", source.id, *ends, 1.0)
    return found


def _earthed_ends(vehicle: Vehicle, power_branches: Mapping[str, Branch]) -> Iterator[str]:
    """The end of a battery that the body is joined to."""
    supply = vehicle.supply
    for source in supply.batteries:
        branch = power_branches[source.id]
        if source.plus_pin == supply.earthed_pin:
            yield branch.a
        elif source.minus_pin == supply.earthed_pin:
            yield branch.b

"""What current could pass between: wires, contacts and bonds as a graph of nodes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

import networkx as nx

from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Bond, Contact, Vehicle

BONDS = frozenset({"switch", "relay", "driver", "pull-down", "cut-out", "fuse", "bus", "ground"})
"""Kinds of contacts and bonds that current can pass."""


def live_posts(vehicle: Vehicle) -> tuple[str, ...]:
    """Nodes inside the battery posts that are not earthed."""
    posts = {pin for s in vehicle.supply.batteries for pin in (s.plus_pin, s.minus_pin)}
    return tuple(inside(pin) for pin in vehicle.supply.live_pins if pin in posts)


def battery_posts(vehicle: Vehicle) -> tuple[str, ...]:
    """Nodes inside all battery posts, the earthed one last."""
    posts = {p for s in vehicle.supply.batteries for p in (s.plus_pin, s.minus_pin)}
    last = vehicle.supply.earthed_pin
    return tuple(inside(pin) for pin in (*sorted(posts - {last}), last))


def live_ends(vehicle: Vehicle) -> tuple[str, ...]:
    """Nodes inside the ends of every source, generators too, that are not earthed."""
    return tuple(inside(pin) for pin in vehicle.supply.live_pins)


def earthed_ends(vehicle: Vehicle) -> tuple[str, ...]:
    """Nodes inside the earthed post and the earthed ends of generators."""
    supply = vehicle.supply
    ends = {p for s in supply.sources for p in (s.plus_pin, s.minus_pin)} - {*supply.live_pins}
    return tuple(inside(pin) for pin in sorted({supply.earthed_pin, *ends}))


def conducting_pairs(
    vehicle: Vehicle,
    harness: Harness,
    without: Collection[str] = (),
    kinds: Collection[str] = BONDS,
) -> Iterator[tuple[str, str]]:
    """Pairs of nodes that current could pass between, with every contact closed, loads aside.

    `without` are devices taken out; `kinds` the bonds and contacts to count.
    """
    for wire in harness.wires.values():
        yield wire.a.node, wire.b.node
    for pin in vehicle.pins:
        yield pin, inside(pin)
    for passing in harness.pass_pins:
        halves = [f"{passing.device}.{passing.cavity}/{home}" for home in passing.wires]
        if passing.device not in without:
            yield from zip(halves, halves[1:], strict=False)
    for device in vehicle.devices.values():
        if device.id in without:
            continue
        parts: tuple[Contact | Bond, ...] = (*device.contacts, *device.bonds)
        for part in parts:
            if part.kind in kinds:
                yield inside(part.from_pin), inside(part.to_pin)


def reach(edges: Iterable[tuple[str, str]], *starts: str) -> frozenset[str]:
    """Nodes joined to any of `starts` by edges, themselves included."""
    graph = nx.Graph(edges)
    graph.add_nodes_from(starts)
    return frozenset().union(*(nx.node_connected_component(graph, start) for start in starts))


def groups(edges: Iterable[tuple[str, str]], *ends: str) -> dict[str, int]:
    """Node -> the number of those that edges join it to, of all nodes of edges and of `ends`."""
    graph = nx.Graph(edges)
    graph.add_nodes_from(ends)
    joined = enumerate(nx.connected_components(graph))
    return {node: number for number, nodes in joined for node in nodes}


def unloaded(solution: Solution) -> list[tuple[str, str]]:
    """Ends of all that conducts in a state without being a load or a source."""
    return [(b.a, b.b) for b in solution.branches.values() if b.joins]


def shorted_fuses(vehicle: Vehicle, solution: Solution) -> Iterator[str]:
    """Fuses on a way past all loads between the ends of a battery, in one state."""
    edges = unloaded(solution)
    fuse_of = {bond.id: fuse.id for fuse in vehicle.all_of("fuse") for bond in fuse.bonds}
    for battery in vehicle.supply.batteries:
        plus, minus = inside(battery.plus_pin), inside(battery.minus_pin)
        if minus not in reach(edges, plus):
            continue
        blocks = map(set, nx.biconnected_components(nx.Graph([*edges, (plus, minus)])))
        loop = next(nodes for nodes in blocks if {plus, minus} <= nodes)
        for branch in solution.branches.values():
            if branch.kind == "fuse" and {branch.a, branch.b} <= loop:
                yield fuse_of[branch.ref]

"""What current could pass between: wires, contacts and bonds as a graph of nodes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

import networkx as nx

from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside
from buildbook.harness.model import Harness
from buildbook.sizing.fuse_load import fuse_of_bond
from buildbook.vehicle.model import Bond, Contact, Vehicle

BONDS = frozenset({"switch", "relay", "driver", "cut-out", "fuse", "bus", "ground"})
"""Kinds of contacts and bonds that current can pass."""


def battery_pins(vehicle: Vehicle) -> tuple[str, str]:
    """Pin ids of the battery's positive and negative post."""
    return vehicle.supply.battery.plus_pin, vehicle.supply.battery.minus_pin


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


def reach(edges: Iterable[tuple[str, str]], start: str) -> frozenset[str]:
    """Nodes joined to `start` by edges, itself included."""
    graph = nx.Graph(edges)
    graph.add_node(start)
    return frozenset(nx.node_connected_component(graph, start))


def unloaded(solution: Solution) -> list[tuple[str, str]]:
    """Ends of all that conducts in a state without being a load or a source."""
    return [(b.a, b.b) for b in solution.branches.values() if b.joins]


def shorted_fuses(vehicle: Vehicle, solution: Solution) -> Iterator[str]:
    """Fuses on a way past all loads between the battery's posts, in one state."""
    plus, minus = (inside(pin) for pin in battery_pins(vehicle))
    edges = unloaded(solution)
    if minus not in reach(edges, plus):
        return
    blocks = map(set, nx.biconnected_components(nx.Graph([*edges, (plus, minus)])))
    loop = next(nodes for nodes in blocks if {plus, minus} <= nodes)
    fuse_of = fuse_of_bond(vehicle)
    for branch in solution.branches.values():
        if branch.kind == "fuse" and {branch.a, branch.b} <= loop:
            yield fuse_of[branch.ref]

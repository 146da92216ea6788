"""The joints of a vehicle by name: the way from one place to another, and what is near a load."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import networkx as nx

from buildbook.checks.standing import Bench, Joins, Standing
from buildbook.vehicle.model import Bond, Contact, Load, Vehicle
from buildbook.words.say import say

HOPS = 5
"""Devices that are passed from a load on: its switch, the relay before it, what works that."""


def joints(bench: Bench, standing: Standing | None = None) -> Iterator[tuple[str, str, str]]:
    """(node, node, name) of circuits, bonds and contacts; closed ones only, where one state's."""
    for name, pins in bench.joins.items():
        for pin in pins:
            yield pin, f"circuit '{name}'", ""
    for name, a, b in bench.bonds:
        yield a, b, name
    for device in bench.vehicle.devices.values():
        for contact in device.contacts:
            led = contact.control is not None
            if standing is None or (
                contact.id in standing.closed if led else standing.state in contact.states
            ):
                yield contact.from_pin, contact.to_pin, contact.id


def way(bench: Bench, standing: Standing, one: str, other: str) -> list[str]:
    """The fewest joints from one node to another in a state: pins and circuits in turn."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from((a, b) for a, b, _ in joints(bench, standing))
    if one not in graph or other not in graph or not nx.has_path(graph, one, other):
        return []
    return list(nx.shortest_path(graph, one, other))


def beside(vehicle: Vehicle, contact: Contact) -> list[str]:
    """The fewest circuits, in words, and pins past a contact from end to end; [] for none."""
    graph: nx.Graph[str] = nx.Graph()
    for name, circuit in vehicle.circuits.items():
        said = say("circuit '{name}'", name=name)
        graph.add_edges_from((pin.id, said) for pin in circuit.pins)
    for device in vehicle.devices.values():
        graph.add_edges_from((b.from_pin, b.to_pin) for b in device.bonds)
    one, other = contact.from_pin, contact.to_pin
    if one not in graph or other not in graph or not nx.has_path(graph, one, other):
        return []
    return list(nx.shortest_path(graph, one, other))


def homes_of(joins: Joins) -> dict[str, list[str]]:
    """Pin -> the circuits that join it."""
    homes: dict[str, list[str]] = {}
    for name, pins in joins.items():
        for pin in pins:
            homes.setdefault(pin, []).append(name)
    return homes


def near_pins(bench: Bench, starts: Iterable[str], hops: int = HOPS) -> list[str]:
    """Pins on the circuits at `starts`, and beyond what they switch or feed; nearest first.

    Grounds, batteries and bus bars, at which everything meets, lead no further; a coil leads to
    the contacts that it works, and these to their coil.
    """
    vehicle = bench.vehicle
    starts = list(starts)
    home = homes_of(bench.joins)
    found = dict.fromkeys(starts)
    border = list(found)
    for _ in range(hops):
        after: dict[str, None] = {}
        for pin in border:
            stops = pin not in starts and _meets_all(vehicle, pin)
            names = home.get(pin, ()) if not stops else ()
            beside = [other for name in names for other in bench.joins[name]]
            for other in (pin, *beside):
                after[other] = None
                after.update(dict.fromkeys(_inside(vehicle, other)))
        border = [pin for pin in after if pin not in found]
        found.update(after)
    return list(found)


def _inside(vehicle: Vehicle, pin: str) -> Iterator[str]:
    """Other pins of a pin's device that are joined with it by a contact, coil or fuse."""
    if pin not in vehicle.pins:
        return
    device = vehicle.devices[vehicle.pins[pin].device]
    if _meets_all(vehicle, pin):
        return
    for contact in device.contacts:
        ends = {contact.from_pin, contact.to_pin}
        control = set(contact.control or ()) if device.kind == "relay" else set()
        if pin in ends | control:
            yield from sorted((ends | control) - {pin})
    parts: tuple[Load | Bond, ...] = (*device.loads, *device.bonds)
    for part in parts:
        if pin in (part.from_pin, part.to_pin) and part.to_pin != "chassis":
            yield part.to_pin if pin == part.from_pin else part.from_pin


def _meets_all(vehicle: Vehicle, pin: str) -> bool:
    """Whether it is where everything meets."""
    kinds = ("ground", "battery", "panel", "alternator", "pass-through")
    return pin in vehicle.pins and vehicle.devices[vehicle.pins[pin].device].kind in kinds

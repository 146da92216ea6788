"""Which driver makes the duty of which load: the one whose output leads to it through switches."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

import networkx as nx

from buildbook.vehicle.model import Circuit, Contact, Device, Load


def with_pulses(
    devices: Mapping[str, Device], circuits: Iterable[Circuit], posts: Collection[str]
) -> dict[str, Device]:
    """Devices whose drivers pulse what they drive, each duty at one place.

    A duty written at a driver is that of every load that it drives; where only the loads have
    one the driver takes the largest. `posts` are the batteries' pins.
    """
    whole = list(devices.values())
    reached = _reached(whole, list(circuits), posts)
    loads = {load.id: load for device in whole for load in device.loads if not load.control}
    duty = {
        driver.id: _duty(devices[driver.device], driver, reached[driver.id], loads.values())
        for device in whole
        for driver in device.contacts
        if driver.kind == "driver"
    }
    by: dict[str, str] = {}
    for load in loads.values():
        own = [
            d.id
            for device in sorted(whole, key=lambda x: x.id)
            for d in _best_first(device)
            if duty[d.id] < 1 and _drives(reached[d.id], load)
        ]
        if own:
            by[load.id] = _pulsing(own, devices)
    other = {
        d: half for d in by.values() if (half := _other_half(devices, d)) != d and duty[half] < 1
    }
    used = {*by.values(), *other.values()}
    frequency = {
        driver: max(
            (
                hz
                for load, d in by.items()
                if driver in (d, other.get(d)) and (hz := loads[load].frequency_hz)
            ),
            default=None,
        )
        for driver in used
    }
    return {
        name: replace(
            device,
            contacts=tuple(
                replace(c, duty=duty[c.id], frequency_hz=frequency[c.id]) if c.id in used else c
                for c in device.contacts
            ),
            loads=tuple(
                replace(
                    x,
                    pulsed_by=by[x.id],
                    duty=duty[by[x.id]],
                    pulsed_back_by=other.get(by[x.id], ""),
                )
                if x.id in by
                else x
                for x in device.loads
            ),
        )
        for name, device in devices.items()
    }


def _other_half(devices: Mapping[str, Device], driver: str) -> str:
    """The output that makes a bridge with a driver; the driver itself where none does."""
    device, _, pin = driver.partition(".")
    bridge = devices[device].written.drivers[pin].bridge
    return f"{device}.{bridge}" if bridge else driver


def _best_first(device: Device) -> list[Contact]:
    return [contact for contact in device.contacts if contact.kind == "driver"]


def _pulsing(drivers: list[str], devices: Mapping[str, Device]) -> str:
    """Of two drivers at both ends of a load the one with a duty, else the one for high speed."""

    def rank(contact_id: str) -> tuple[bool, float, str]:
        device, _, pin = contact_id.partition(".")
        written = devices[device].written.drivers[pin]
        return written.duty is None, -(written.frequency or 0.0), contact_id

    return min(drivers, key=rank)


def _duty(device: Device, driver: Contact, reached: set[str], loads: Iterable[Load]) -> float:
    written = device.written.drivers[driver.id.partition(".")[2]].duty
    if written is not None:
        return written
    return max((x.duty for x in loads if x.duty < 1 and _drives(reached, x)), default=1.0)


def _drives(reached: set[str], load: Load) -> bool:
    return load.from_pin in reached or load.to_pin in reached


def _reached(
    devices: Iterable[Device], circuits: Iterable[Circuit], posts: Collection[str]
) -> dict[str, set[str]]:
    """Driver's contact id -> pins joined to its output by wires, fuses and switches.

    What is joined to the battery or to the body without a switch is fed by it, not by a driver.
    """
    fixed: nx.Graph[str] = nx.Graph()
    fixed.add_nodes_from(posts)
    for circuit in circuits:
        nx.add_star(fixed, [pin.id for pin in circuit.pins])
    for device in devices:
        fixed.add_nodes_from(pin.id for pin in device.pins)
        fixed.add_edges_from((bond.from_pin, bond.to_pin) for bond in device.bonds)
    rails = set[str]()
    for post in (*posts, "chassis"):
        rails |= nx.node_connected_component(fixed, post) if post in fixed else set()
    joined: nx.Graph[str] = nx.Graph(fixed)
    for device in devices:
        joined.add_edges_from((c.from_pin, c.to_pin) for c in device.contacts if c.kind == "switch")
    joined.remove_nodes_from(rails)
    return {
        contact.id: nx.node_connected_component(joined, contact.from_pin)
        if contact.from_pin in joined
        else set()
        for device in devices
        for contact in device.contacts
        if contact.kind == "driver"
    }

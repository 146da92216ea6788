"""A mend of the wiring as what would be written otherwise in the description."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.standing import Mended
from buildbook.description import models as written
from buildbook.description.edited import Edit
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.supply import entries


def edits_of(vehicle: Vehicle, mended: Mended) -> tuple[Edit, ...]:
    """Circuits, closed contacts, buses, posts and states of loads, as the description has them."""
    return (
        *_joins(vehicle, mended),
        *_contacts(vehicle, mended),
        *_buses(vehicle, mended),
        *_turned(vehicle, mended),
        *_said(vehicle, mended),
    )


def _joins(vehicle: Vehicle, mended: Mended) -> Iterator[Edit]:
    """A circuit of which less than two pins are left is taken out."""
    for name, pins in mended.joins.items():
        if name in vehicle.circuits:
            if len(pins) > 1:
                yield ("circuits", name, "join"), list(pins)
            else:
                yield ("circuits", name), None
        else:
            system = vehicle.devices[vehicle.pins[pins[0]].device].system
            yield (
                ("circuits", name),
                written.Circuit(join=list(pins), system=system or None),
            )


def _contacts(vehicle: Vehicle, mended: Mended) -> Iterator[Edit]:
    for device in vehicle.devices.values():
        switches = [c for c in device.contacts if c.kind == "switch"]
        for index, contact in enumerate(switches):
            if contact.id in mended.closed:
                states = _in_order(vehicle, mended.closed[contact.id])
                path = ("devices", device.id, "contacts", index, "closed")
                yield path, written.When(states=states)
        for contact in device.contacts:
            if contact.kind == "driver" and contact.id in mended.closed:
                states = _in_order(vehicle, mended.closed[contact.id])
                pin = contact.from_pin.removeprefix(f"{device.id}.")
                yield ("devices", device.id, "drivers", pin, "on"), written.When(states=states)


def _in_order(vehicle: Vehicle, states: frozenset[str]) -> list[str]:
    return [state for state in vehicle.states if state in states]


def _buses(vehicle: Vehicle, mended: Mended) -> Iterator[Edit]:
    for bond, pin in mended.buses.items():
        fuse = bond.removesuffix(".bus")
        if fuse in vehicle.devices:
            yield ("devices", fuse, "bus"), pin.partition(".")[2]


def _turned(vehicle: Vehicle, mended: Mended) -> Iterator[Edit]:
    for _, name, path, entry in entries(vehicle.description.supply):
        if name in mended.turned:
            yield ("supply", *path[1:], "between"), entry.between[::-1]


def _said(vehicle: Vehicle, mended: Mended) -> Iterator[Edit]:
    for device in vehicle.devices.values():
        for index, load in enumerate(device.loads[: len(device.written.draws)]):
            if load.id in mended.said:
                states = _in_order(vehicle, mended.said[load.id])
                path = ("devices", device.id, "draws", index, "in")
                yield path, written.When(states=states)

"""Where things are: zones at a point, wires along a run."""

from __future__ import annotations

import networkx as nx

from buildbook.description import models as written
from buildbook.harness.model import Harness
from buildbook.parts.keys import keys_for
from buildbook.problem import Where
from buildbook.vehicle.model import Vehicle


def rope_of(vehicle: Vehicle) -> nx.Graph[str]:
    """The points of the ropes, with the length of each run in metres as its `weight`."""
    rope: nx.Graph[str] = nx.Graph()
    for run in vehicle.runs:
        rope.add_edge(run.from_point, run.to_point, weight=run.length_m)
    return rope


def where_of(vehicle: Vehicle, about: str) -> Where:
    """Where a device, a circuit or another thing that has a name was written; the file's start
    where that is not known."""
    if about in vehicle.devices:
        return vehicle.devices[about].where
    if about in vehicle.circuits:
        return vehicle.circuits[about].where
    for section in type(vehicle.description).model_fields:
        named = getattr(vehicle.description, section)
        if isinstance(named, dict) and about in named:
            return written_at(vehicle, section, about)
    return Where("vehicle.yaml")


def where_of_need(vehicle: Vehicle, key: str) -> Where:
    """Where the part that serves a need was written; the section of parts where none does."""
    parts = vehicle.description.parts
    for name in keys_for(key):
        if name in parts:
            return written_at(vehicle, "parts", name)
        for part_id, part in parts.items():
            if name in part.serves:
                return written_at(vehicle, "parts", part_id)
    return written_at(vehicle, "parts")


def where_of_note(vehicle: Vehicle, target: str) -> Where:
    """Where it was written that a note stands with something: 'system fuel'."""
    for index, note in enumerate(vehicle.description.notes):
        if " ".join(note.with_.split()) == target:
            return written_at(vehicle, "notes", index, "file")
    return Where("vehicle.yaml")


def written_at(vehicle: Vehicle, *path: str | int) -> Where:
    """Where the value at a path of the description stands; the file's start where not known."""
    return vehicle.positions.spot(*path) if vehicle.positions else Where("vehicle.yaml")


def where_of_pin(vehicle: Vehicle, pin: str) -> Where:
    """Where a pin is joined: its place in the circuit's `join`; else its line in its device."""
    device, _, name = pin.rpartition(".")
    for circuit in vehicle.circuit_of_pin.get(pin, ()):
        join = vehicle.circuits[circuit].written.join
        for index, text in enumerate(join):
            if text == pin or (text == device and device and pin in _alone(vehicle, device)):
                return written_at(vehicle, "circuits", circuit, "join", index)
    if device not in vehicle.devices:
        return Where("vehicle.yaml")
    if vehicle.positions is None:
        return vehicle.devices[device].where
    return written_at(vehicle, "devices", device, "pins", name)


def _alone(vehicle: Vehicle, device: str) -> tuple[str, ...]:
    """Pins that a device's bare name may stand for: those of a ground stud."""
    found = vehicle.devices[device]
    return tuple(pin.id for pin in found.pins) if found.kind == "ground" else ()


def zones_at(
    vehicle: Vehicle, point: str, harness: str = ""
) -> tuple[tuple[str, written.Zone], ...]:
    """Zones of the runs that end at a point."""
    names = dict.fromkeys(run.zone for run in vehicle.runs_at(point, harness))
    return tuple((name, vehicle.description.zones[name]) for name in names)


def is_wired(harness: Harness, run: str) -> bool:
    """Whether wires lie along a run."""
    return run in harness.bundles and bool(harness.bundles[run].wires)

"""A chapter for each system: schematics, wires, devices, readings, notes, tests."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import (
    current,
    in_supply,
    key_states,
    load_title,
    note,
    terminal_volts,
    wires_of,
)
from buildbook.result import Result
from buildbook.vehicle.model import Device


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    systems = result.vehicle.description.systems
    return tuple(one(result, drawings, system) for system in systems)


def one(result: Result, drawings: Drawings, system: str) -> Chapter:
    """The chapter of one system."""
    vehicle = result.vehicle
    written = vehicle.description.systems[system]
    devices = [
        d for d in vehicle.devices.values() if d.system == system and not in_supply(result, d)
    ]
    circuits = [c for c in vehicle.circuits.values() if c.system == system]
    sheets = drawings.schematics.get(system, ())
    fuses = {
        row.size.fuse
        for circuit in circuits
        for row in wires_of(result, circuit.id)
        if row.size and row.size.fuse
    }
    context = {
        "system": system,
        "about": written.about,
        "sheets": sheets,
        "circuits": [(circuit, wires_of(result, circuit.id)) for circuit in circuits],
        "devices": devices,
        "cautions": sorted({d.written.caution for d in devices if d.written.caution}),
        "connectors": [c for d in devices for c in d.connectors],
        "states": key_states(result),
        "loads": [row for device in devices for row in load_rows(result, device)],
        "fuses": [d for d in vehicle.all_of("fuse") if d.id in fuses],
        "note": note(result, f"system {system}"),
    }
    return Chapter(f"system-{system}", written.title, "system.html", context, tuple(sheets))


def load_rows(result: Result, device: Device) -> list[tuple]:
    """Loads of a device with amps and volts in the key states."""
    return [
        (
            load,
            load_title(result, load),
            [
                (current(result, s, f"load:{load.id}"), terminal_volts(result, load, s))
                for s in key_states(result)
            ],
        )
        for load in device.loads
    ]

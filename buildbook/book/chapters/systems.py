"""A chapter for each system: schematics, wires, devices, readings, notes, tests."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.sensor_wording import described_pairs, described_sensors
from buildbook.book.shared_rows import (
    Cell,
    in_supply,
    load_cells,
    load_title,
    note,
    wires_of,
)
from buildbook.electrical.reading import Reading
from buildbook.result import Result
from buildbook.vehicle.model import Device, Load


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
    sheets, buses = drawings.of("schematics", system), drawings.of("buses", system)
    fuses = {
        row.size.fuse
        for circuit in circuits
        for row in wires_of(result, circuit.id)
        if row.size and row.size.fuse
    }
    rows = [row for device in devices for row in load_rows(result, device)]
    context = {
        "system": system,
        "about": written.about,
        "sheets": sheets,
        "buses": buses,
        "circuits": [(circuit, wires_of(result, circuit.id)) for circuit in circuits],
        "devices": devices,
        "cautions": sorted({d.written.caution for d in devices if d.written.caution}),
        "connectors": [c for d in devices for c in d.connectors],
        "states": result.vehicle.states,
        "loads": rows,
        "sensors": described_sensors(result, {d.id for d in devices}),
        "pairs": described_pairs(result, {d.id for d in devices}),
        "stated": [d for d in devices if d.written.readings],
        "tests": [test for row in rows for test in first_on(result, *row)],
        "fuses": [d for d in vehicle.all_of("fuse") if d.id in fuses],
        "note": note(result, f"system {system}"),
    }
    return Chapter(f"system-{system}", written.title, "system.html", context, (*sheets, *buses))


def first_on(
    result: Result, load: Load, what: str, cells: list[Cell]
) -> list[tuple[str, Load, str, Reading]]:
    """The first state that a load works in, with the reading across it; none for one always off."""
    states = zip(result.vehicle.states, cells, strict=True)
    return [(state, load, what, cell[1]) for state, cell in states if cell][:1]


def load_rows(result: Result, device: Device) -> list[tuple[Load, str, list[Cell]]]:
    """Loads of a device with amps and volts in every state."""
    return [
        (load, load_title(result, load), load_cells(result, load, result.vehicle.states))
        for load in device.loads
    ]

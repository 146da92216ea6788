"""Chapters of the systems: schematics, wires, devices, readings and notes; small ones together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.sensor_wording import DescribedSensor, described_pairs, described_sensors
from buildbook.book.shared_rows import (
    Cell,
    WireRow,
    in_supply,
    load_cells,
    load_title,
    note,
    wires_of,
)
from buildbook.book.shown_states import Elsewhere, elsewhere, same_cell, shown_states
from buildbook.description.models import System
from buildbook.drawing.schematic.system_sheets import small_together
from buildbook.drawing.shared.model import Drawing
from buildbook.electrical.model import PairTable
from buildbook.result import Result
from buildbook.vehicle.model import Circuit, Connector, Device, Load

CHAPTER_CIRCUITS = 60
"""Circuits of the systems that share a chapter; one that has more has a chapter of its own."""


@dataclass(frozen=True)
class LoadRow:
    """A load in the states that are shown, and in others in which it works otherwise."""

    load: Load
    what: str
    cells: tuple[Cell, ...]
    elsewhere: tuple[Elsewhere[Cell], ...]


@dataclass(frozen=True)
class SystemPart:
    """What a chapter tells of one system."""

    name: str
    written: System
    sheets: tuple[Drawing, ...]
    buses: tuple[Drawing, ...]
    devices: tuple[Device, ...]
    circuits: tuple[tuple[Circuit, tuple[WireRow, ...]], ...]
    fuses: tuple[Device, ...]
    loads: tuple[LoadRow, ...]
    sensors: tuple[DescribedSensor, ...]
    pairs: tuple[tuple[str, PairTable], ...]
    note: str

    @property
    def stated(self) -> list[Device]:
        """The devices of which a maker states readings."""
        return [device for device in self.devices if device.written.readings]

    @property
    def connectors(self) -> list[Connector]:
        return [connector for device in self.devices for connector in device.connectors]


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    return tuple(_chapter(result, drawings, systems) for systems in _in_chapters(result))


def _in_chapters(result: Result) -> list[tuple[str, ...]]:
    """The systems in the author's order, those that follow each other taken together."""
    systems = [circuit.system for circuit in result.vehicle.circuits.values()]
    found: list[tuple[str, ...]] = []
    for together in small_together(result):
        both = (*(found[-1] if found else ()), *together)
        if found and sum(systems.count(system) for system in both) <= CHAPTER_CIRCUITS:
            found[-1] = both
        else:
            found.append(together)
    return found


def _chapter(result: Result, drawings: Drawings, systems: tuple[str, ...]) -> Chapter:
    parts = [part_of(result, drawings, system) for system in systems]
    devices = [device for part in parts for device in part.devices]
    cautions: dict[str, list[Device]] = {}
    for device in devices:
        if device.written.caution:
            cautions.setdefault(device.written.caution, []).append(device)
    sheets = list({sheet.name: sheet for part in parts for sheet in part.sheets}.values())
    buses = [bus for part in parts for bus in part.buses]
    context = {
        "parts": parts,
        "cautions": sorted(cautions.items()),
        "guessed": any(
            row.wire.is_estimate for part in parts for _, rows in part.circuits for row in rows
        ),
        "sheets": sheets,
        "states": shown_states(result),
        "widths": 2 + len(shown_states(result)),
    }
    titles = [part.written.title for part in parts]
    return Chapter(
        f"system-{systems[0]}", " · ".join(titles), "system.html", context, (*sheets, *buses)
    )


def part_of(result: Result, drawings: Drawings, system: str) -> SystemPart:
    """What there is to tell of one system."""
    vehicle = result.vehicle
    devices = [
        d for d in vehicle.devices.values() if d.system == system and not in_supply(result, d)
    ]
    circuits = [c for c in vehicle.circuits.values() if c.system == system]
    rows = [(circuit, wires_of(result, circuit.id)) for circuit in circuits]
    fuses = {row.size.fuse for _, wires in rows for row in wires if row.size and row.size.fuse}
    ids = {device.id for device in devices}
    return SystemPart(
        system,
        vehicle.description.systems[system],
        drawings.of("schematics", system),
        drawings.of("buses", system),
        tuple(devices),
        tuple(rows),
        tuple(d for d in vehicle.all_of("fuse") if d.id in fuses),
        load_rows(result, devices),
        tuple(described_sensors(result, ids)),
        tuple(described_pairs(result, ids)),
        note(result, f"system {system}"),
    )


def load_rows(result: Result, devices: Iterable[Device]) -> tuple[LoadRow, ...]:
    """The loads of some devices."""
    states = shown_states(result)

    def row(load: Load) -> LoadRow:
        def cell(state: str) -> Cell:
            return load_cells(result, load, (state,))[0]

        cells = tuple(map(cell, states))
        return LoadRow(load, load_title(result, load), cells, elsewhere(result, cell, same_cell))

    return tuple(row(load) for device in devices for load in device.loads)

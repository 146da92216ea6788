"""Schematics: every wire of a system once, in current paths from supply down to return."""

from __future__ import annotations

from functools import cached_property

from buildbook.drawing.schematic.element import (
    PIN_MM,
)
from buildbook.drawing.schematic.joint_drawing import flag_reference_mm
from buildbook.drawing.schematic.layout_model import Port
from buildbook.drawing.schematic.sheet_arrangement import Placed, SheetArrangement
from buildbook.drawing.schematic.sheet_drawing import (
    EndZones,
    FlagText,
    SheetDrawing,
    port_of,
    zone_at,
)
from buildbook.drawing.schematic.system_elements import SystemElements, wires_of
from buildbook.drawing.shared.model import Drawing
from buildbook.files.names import file_name, not_taken
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized


def schematics(result: Sized) -> dict[str, tuple[Drawing, ...]]:
    """Sheets by system; systems without wires have none."""
    systems: dict[str, SystemSchematic] = {}
    names: set[str] = set()
    for system in result.vehicle.description.systems:
        wires = wires_of(result, system)
        if wires:
            name = not_taken(file_name(f"schematic-{system}").lower(), names, "{}-{}x")
            names.add(name)
            systems[system] = SystemSchematic(result, system, wires, name)
    zones = {
        end: zone for schematic in systems.values() for end, zone in schematic.end_zones().items()
    }
    return {system: schematic.sheets(zones) for system, schematic in systems.items()}


class SystemSchematic:
    """One system: the sheets that its elements go on."""

    def __init__(self, result: Sized, system: str, wires: list[Wire], name: str) -> None:
        self.result, self.system, self.name = result, system, name
        self.made = SystemElements(result, system, wires)
        self.elements = self.made.elements

    @cached_property
    def packed(self) -> list[list[Placed]]:
        """The groups of paths by sheet; the blocks on these are elements from then on."""
        together, screens = self.made.beside_cores()
        arrangement = SheetArrangement(self.elements, self.made.grid, self.made.block_caption)
        sheets = arrangement.sheets(self.made.footprints, self.made.links, together, screens)
        self.elements = arrangement.elements
        return sheets

    def end_zones(self) -> EndZones:
        """(wire, pin) -> drawing and border zone, of every end drawn."""
        found: EndZones = {}
        for n, sheet in enumerate(self.packed, 1):
            for placed in sheet:
                for link in placed.group.links:
                    wire = link.id.removesuffix("~")
                    for port in (link.a, link.b):
                        element = self.elements.get(port.element)
                        edge = (element.tops if port.top else element.bottoms) if element else []
                        for pin in (p for _, p, w in edge if p and w == wire):
                            zone = self._zone(placed, port)
                            found[wire, pin] = f"{self.name}-{n}", zone
        return found

    def _zone(self, placed: Placed, port: Port) -> str:
        """Border zone of the terminal at which a wire ends."""
        group = placed.group
        (x, y), footprint = group.layout.at[port.element], group.footprints[port.element]
        x += group.layout.columns.get(port, port.column) * group.grid.pitch
        inwards = PIN_MM / 2 if footprint.kind in ("supply", "device") else 0.0
        return zone_at(placed, x, y + inwards if port.top else y + footprint.height - inwards)

    def sheets(self, zones: EndZones) -> tuple[Drawing, ...]:
        """The drawings; `zones` are the ends of the wires of all systems."""
        flags: dict[str, FlagText] = {}
        for n, sheet in enumerate(self.packed, 1):
            for placed in sheet:
                for key, footprint in placed.group.footprints.items():
                    if footprint.kind == "flag":
                        x, y = placed.group.layout.at[key]
                        fed = port_of(key, placed.group.links).top
                        zone = zone_at(placed, x, y + flag_reference_mm(fed) - 1.0)
                        flags[key] = f"sheet {n} {zone}", f"{self.name}-{n}", zone
        count = len(self.packed)
        return tuple(
            SheetDrawing(self.made, self.elements, flags, zones).drawing(
                sheet, f"{self.name}-{n}", n, count
            )
            for n, sheet in enumerate(self.packed, 1)
        )

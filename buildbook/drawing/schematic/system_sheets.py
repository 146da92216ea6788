"""Schematics: every wire of a system once, in current paths from supply down to return.

Small systems that follow each other share their sheets where that saves one.
"""

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
    systems_of,
    zone_at,
)
from buildbook.drawing.schematic.system_elements import SystemElements, wires_of
from buildbook.drawing.shared.model import Drawing
from buildbook.files.names import file_name, not_taken
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized
from buildbook.words.say import say

SMALL_WIRES = 24
"""A system of no more wires is taken together with small neighbours."""
TOGETHER_WIRES = 60
"""Wires of the systems that are taken together."""


def schematics(result: Sized) -> dict[str, tuple[Drawing, ...]]:
    """Sheets by system, of several where they share one; systems without wires have none."""
    drawn = [s for small in small_together(result) for s in _on_fewest(result, small)]
    names: set[str] = set()
    for schematic in drawn:
        name = file_name(f"schematic-{schematic.systems[0]}").lower()
        schematic.name = not_taken(name, names, "{}-{}x")
        names.add(schematic.name)
    zones = {end: zone for schematic in drawn for end, zone in schematic.end_zones().items()}
    return {
        system: sheets
        for schematic in drawn
        for system, sheets in schematic.sheets_by_system(zones).items()
    }


def small_together(result: Sized) -> list[tuple[str, ...]]:
    """The systems in the author's order, small ones that follow each other taken together."""
    counts = {s: len(wires_of(result, s)) for s in result.vehicle.description.systems}
    found: list[tuple[str, ...]] = []
    for system, count in counts.items():
        last = found[-1] if found else ()
        room = TOGETHER_WIRES - sum(counts[name] for name in last)
        small = all(counts[name] <= SMALL_WIRES for name in (*last, system))
        if last and small and count <= room:
            found[-1] = (*last, system)
        else:
            found.append((system,))
    return found


def _on_fewest(result: Sized, systems: tuple[str, ...]) -> list[SystemSchematic]:
    """Schematics of some systems: of each by itself, or of all where that takes fewer sheets."""
    wires = {s: found for s in systems if (found := wires_of(result, s))}
    each = [SystemSchematic(result, (s,), found) for s, found in wires.items()]
    if len(each) < 2:
        return each
    joint = SystemSchematic(result, tuple(wires), [w for found in wires.values() for w in found])
    return [joint] if len(joint.packed) < sum(len(one.packed) for one in each) else each


class SystemSchematic:
    """Systems drawn together: the sheets that their elements go on."""

    def __init__(self, result: Sized, systems: tuple[str, ...], wires: list[Wire]) -> None:
        self.result, self.systems, self.name = result, systems, ""
        self.made = SystemElements(result, systems, wires)
        self.elements = self.made.elements

    @cached_property
    def packed(self) -> list[list[Placed]]:
        """The groups of paths by sheet; the blocks on these are elements from then on."""
        together, screens = self.made.beside_cores()
        shared = len(self.systems) > 1
        arrangement = SheetArrangement(
            self.elements, self.made.grid, self.made.block_caption, shared
        )
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

    def sheets_by_system(self, zones: EndZones) -> dict[str, tuple[Drawing, ...]]:
        """System -> the drawings on which a wire of it is."""
        shown = [systems_of(self.result, sheet) for sheet in self.packed]
        sheets = self.sheets(zones)
        return {
            system: tuple(d for d, there in zip(sheets, shown, strict=True) if system in there)
            for system in self.systems
        }

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
                        words = say("sheet {n} {zone}", n=n, zone=zone)
                        flags[key] = words, f"{self.name}-{n}", zone
        count = len(self.packed)
        return tuple(
            SheetDrawing(self.made, self.elements, flags, zones).drawing(
                sheet, f"{self.name}-{n}", n, count
            )
            for n, sheet in enumerate(self.packed, 1)
        )

"""Draws one sheet of a schematic: its elements, wires, labels, boundaries and key."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from svgwrite.base import BaseElement

from buildbook.drawing.maps.ground import GROUND_MAP
from buildbook.drawing.schematic.block_words import SUPPLY_WORDS, shows_supply
from buildbook.drawing.schematic.boundary import BoundaryContact, draw_boundaries
from buildbook.drawing.schematic.element import (
    LINE_SPACING_MM,
    Element,
    PinPlace,
    SheetZone,
    with_columns,
)
from buildbook.drawing.schematic.element_drawing import draw_element
from buildbook.drawing.schematic.footprints import footprint_of
from buildbook.drawing.schematic.labels import middles
from buildbook.drawing.schematic.layout_model import Footprint, Layout, Link, Port
from buildbook.drawing.schematic.sheet_arrangement import Group, Placed
from buildbook.drawing.schematic.system_elements import SystemElements
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.crossing import Crossing, crossings
from buildbook.drawing.shared.lettering import SMALL_MM, text_width_mm
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import AT_REST, Title, frame
from buildbook.drawing.shared.wire import drawn_wire, passed_over
from buildbook.drawing.shared.zones import BAND_MM, zone_of
from buildbook.drawing.symbols.cable import screen, twist
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized
from buildbook.words.say import mark, say

KEY = (
    mark("Beside a wire: number and size ({size}), then colour."),
    mark("Arrow: the wire goes on at the page and zone named."),
    mark("86 (303c), +201: that wire is on the pin too, drawn there."),
    mark("Dash-dot: a harness ends. Strokes: twisted. Oval: screened."),
)
"""Written beside the title block of every sheet."""
ALWAYS = mark("Dot: joined.")
GROUNDED = mark("Dot: joined. Ground signs: one body, mapped on")
"""The last line; where there are grounds it goes on up to a reference."""
CABLE_MM = 1.1
"""Room for the marks of a cable between a wire and its label."""
EndZones = dict[tuple[str, str], SheetZone]
"""(wire, pin) -> where that end is drawn."""
FlagText = tuple[str, str, str]
"""Of a flag: 'sheet 2 B3', and the drawing and border zone of that place."""


def zone_at(placed: Placed, x: float, y: float) -> str:
    """Border zone of a place in a group, mm from the group's upper left corner."""
    margin = BAND_MM + 1.5
    return zone_of(margin + placed.x + x, margin + placed.y + y, *SHEET_MM)


def port_of(element: str, links: list[Link]) -> Port:
    """Where the first of some links meets an element."""
    return next(port for link in links for port in (link.a, link.b) if port.element == element)


def systems_of(result: Sized, sheet: list[Placed]) -> set[str]:
    """The systems of which a sheet draws a wire."""
    wires, circuits = result.harness.wires, result.vehicle.circuits
    shown = {link.id.removesuffix("~") for placed in sheet for link in placed.group.links}
    return {circuits[wires[wire].circuit].system for wire in shown}


class SheetDrawing:
    """What all sheets of one system, or of several small ones, are drawn from."""

    def __init__(
        self,
        made: SystemElements,
        elements: dict[str, Element],
        flags: dict[str, FlagText],
        zones: EndZones,
    ) -> None:
        self.result, self.systems = made.result, made.systems
        self.labels, self.grid = made.labels, made.grid
        self.elements, self.flags, self.zones = elements, flags, zones
        self.name = ""

    def drawing(self, sheet: list[Placed], name: str, number: int, count: int) -> Drawing:
        """One of the `count` sheets, with its groups of paths where they were placed."""
        self.name = name
        vehicle = self.result.vehicle.description.vehicle
        known = self.result.vehicle.description.systems
        shown = [s for s in self.systems if s in systems_of(self.result, sheet)]
        titles = " · ".join(known[system].title for system in shown)
        title = say("Schematic: {systems}", systems=titles)
        several = len(shown) > 1
        short = ", ".join(shown) if several else titles
        canvas = Canvas(*SHEET_MM)
        room = frame(
            canvas,
            Title(
                vehicle.name,
                say("Schematic: {systems}", context="title block", systems=short),
                say("{n} systems", n=len(shown)) if several else shown[0],
                vehicle.revision,
                vehicle.date.isoformat(),
                number,
                count,
                say(AT_REST),
                name,
            ),
        )
        self._write_key(canvas, room)
        for placed in sheet:
            self._draw_group(canvas, placed.group, room.x + placed.x, room.y + placed.y, name)
        self._draw_boundaries(canvas, sheet, room)
        called = say("{title}, sheet {n} of {sheets}", title=title, n=number, sheets=count)
        return canvas.drawing(name, called)

    def _draw_group(self, canvas: Canvas, group: Group, ox: float, oy: float, name: str) -> None:
        """The wires, crossings and elements of a group whose upper left corner is at ox, oy."""
        labels = self._labels(group)
        for link in group.links:
            self._draw_link(canvas, link, group.layout.lines[link.id], labels, (ox, oy), name)
        self._draw_crossings(canvas, group.layout, ox, oy)
        for key in group.footprints:
            x, y = group.layout.at[key]
            element = self._referring(self.elements.get(key) or self._flag(key, group.links))
            placed = with_columns(element, group.layout.columns)
            draw_element(canvas, placed, ox + x, oy + y, group.grid.pitch)

    def _referring(self, element: Element) -> Element:
        """The element with the places of what is drawn elsewhere."""
        ends = {pin: (there.wire, there.pin) for pin, there in element.elsewhere.items()}
        drawn_at = {
            pin: self._from_here(self.zones[end]) for pin, end in ends.items() if end in self.zones
        }
        return replace(element, drawn_at=drawn_at, supplied_at=self._supplied_at(element))

    def _supplied_at(self, element: Element) -> tuple[tuple[str, SheetZone], ...]:
        """Where the first feed and the first ground of a block are drawn, if not at this one."""
        power = element.device.written.power if element.device else None
        if not shows_supply(element) or element.device is None or power is None:
            return ()
        id_ = element.device.id
        here = {pin for _, pin, _ in element.tops + element.bottoms}
        wire_at = self.result.harness.wire_at
        found = []
        for word, names in zip(SUPPLY_WORDS, (power.feeds, power.grounds), strict=True):
            pins = [f"{id_}.{name}" for name in names]
            ends = [(wire, pin) for pin in pins for wire in wire_at.get(pin, ())]
            drawn = [end for end in ends if end in self.zones]
            if drawn and drawn[0][1] not in here:
                found.append((say(word), self._from_here(self.zones[drawn[0]])))
        return tuple(found)

    def _from_here(self, place: SheetZone) -> SheetZone:
        """A place as this sheet refers to it: without the drawing where that is this one."""
        drawing, zone = place
        return ("" if drawing == self.name else drawing), zone

    def _write_key(self, canvas: Canvas, room: Box) -> None:
        """What the signs of a sheet mean, beside the title block, and where grounds are drawn."""
        y = room.bottom + 3.9
        grounded = any(d.kind == "ground" for d in self.result.vehicle.devices.values())
        size = self.result.vehicle.measures.size
        words = [say(line, size=size) for line in (*KEY, GROUNDED if grounded else ALWAYS)]
        for n, line in enumerate(words):
            canvas.text(room.x, y + n * LINE_SPACING_MM, line, class_="note")
        if grounded:
            end = room.x + text_width_mm(words[-1], SMALL_MM) + 1.0
            last = y + (len(words) - 1) * LINE_SPACING_MM
            canvas.reference(end, last, GROUND_MAP, words=say("the ground map"), class_="note")

    def _draw_boundaries(self, canvas: Canvas, sheet: list[Placed], room: Box) -> None:
        contacts: list[BoundaryContact] = []
        solid: list[Box] = []
        wires: list[tuple[float, float, float]] = []
        for placed in sheet:
            ox, oy, layout = room.x + placed.x, room.y + placed.y, placed.group.layout
            for key, footprint in placed.group.footprints.items():
                x, y = ox + layout.at[key][0], oy + layout.at[key][1]
                if footprint.kind != "half":
                    taken = self._room(placed.group, key)
                    wide = taken.left + taken.right
                    solid.append(Box(x - taken.left, y, wide, taken.height))
                    continue
                element = self.elements[key]
                words = text_width_mm(element.caption[0], SMALL_MM, True)
                connector = element.caption[0].rsplit(".", 1)[0]
                contacts.append(
                    BoundaryContact(x, y, footprint.right, words, connector, element.harnesses)
                )
            for line in layout.lines.values():
                wires += [
                    (ox + a[0], oy + min(a[1], b[1]), oy + max(a[1], b[1]))
                    for a, b in pairwise(line)
                    if a[0] == b[0]
                ]
        draw_boundaries(canvas, contacts, solid, wires)

    def _room(self, group: Group, key: str) -> Footprint:
        """What an element takes with its wires in the columns that the layout chose."""
        element = self.elements.get(key)
        if element is None:
            return group.footprints[key]
        return footprint_of(with_columns(element, group.layout.columns), group.grid.pitch)

    def _flag(self, key: str, links: list[Link]) -> Element:
        wire = key.removeprefix("flag:").removesuffix("~")
        partner = f"flag:{wire}" if key.endswith("~") else f"flag:{wire}~"
        port = port_of(key, links)
        edge: list[PinPlace] = [(0.0, "", wire)]
        words, sheet, zone = self.flags[partner]
        return Element(
            key,
            "flag",
            (wire, words),
            None,
            [],
            edge if port.top else [],
            [] if port.top else edge,
            continues_at=self._from_here((sheet, zone)),
        )

    def _labels(self, group: Group) -> dict[str, tuple[float, float]]:
        """Where the wires' labels stand; those of a cable stay side by side with its marks."""
        layout, wires = group.layout, self.result.harness.wires
        solid = []
        for key, footprint in group.footprints.items():
            x, y = layout.at[key]
            left, right = (
                (0.0, layout.width)
                if footprint.kind == "half"
                else (x - footprint.left, x + footprint.right)
            )
            solid.append(Box(left, y, right - left, footprint.height))
        free = [link.id for link in group.links if link.labelled and not wires[link.id].cable]
        sizes = {
            id_: (max(text_width_mm(t, SMALL_MM) for t in self.labels[id_]), 2 * LINE_SPACING_MM)
            for id_ in free
        }
        fixed = [
            Box(*layout.labels[link.id], self.grid.label_w, 2 * LINE_SPACING_MM)
            for link in group.links
            if link.labelled and link.id not in sizes
        ]
        given = {id_: layout.labels[id_] for id_ in free}
        found = middles(layout.lines, given, sizes, [*solid, *fixed], layout.width)
        return {**layout.labels, **found}

    def _draw_link(
        self,
        canvas: Canvas,
        link: Link,
        line: list[tuple[float, float]],
        labels: dict[str, tuple[float, float]],
        at: tuple[float, float],
        name: str,
    ) -> None:
        id_ = link.id.removesuffix("~")
        wire = self.result.harness.wires[id_]
        points = [(at[0] + x, at[1] + y) for x, y in line]
        into = canvas.group(
            id_=f"wire-{id_}-{name}" + ("" if link.labelled else "-on"),
            class_="wire" if link.labelled else "goes-on",
            data={"data-wire": id_},
        )
        drawn_wire(canvas, points, wire.colour, into)
        if not link.labelled:
            return
        x, y = (at[0] + labels[link.id][0], at[1] + labels[link.id][1])
        beside = CABLE_MM if wire.cable else 0.0
        for n, words in enumerate(self.labels[id_]):
            canvas.text(x + beside, y + 2.3 + n * LINE_SPACING_MM, words, class_="wire-label")
        self._draw_cable(canvas, into, wire, x - 0.7, y)

    def _draw_crossings(self, canvas: Canvas, layout: Layout, ox: float, oy: float) -> None:
        """A gap in the upright wire wherever a level one of another passes over it."""
        for crossing in crossings(layout.lines):
            wire = self.result.harness.wires[crossing.wire.removesuffix("~")]
            into = canvas.group(class_="crossing", data={"data-over": wire.id})
            points = [(ox + x, oy + y) for x, y in layout.lines[crossing.wire]]
            placed = Crossing(
                crossing.wire,
                (ox + crossing.at[0], oy + crossing.at[1]),
                oy + crossing.top,
                oy + crossing.foot,
            )
            passed_over(canvas, points, placed, wire.colour, into)

    def _draw_cable(
        self, canvas: Canvas, into: BaseElement, wire: Wire, x: float, y: float
    ) -> None:
        """Marks a wire of a cable: strokes for a twisted pair, an oval for a screen."""
        cable = self.result.vehicle.description.cables.get(wire.cable)
        if cable and cable.type == "twisted pair":
            for down in (1.6, 3.0, 4.4):
                twist(canvas, into, x, x, y + down)
        elif cable and cable.screen != wire.circuit:
            screen(canvas, into, Box(x - 0.95, y + 0.4, 1.9, 5.0))

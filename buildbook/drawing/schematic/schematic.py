"""Schematics: every wire of a system once, in current paths from supply down to return."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from buildbook.drawing.faces.panel import name_of as panel_name
from buildbook.drawing.maps.ground import GROUND_MAP
from buildbook.drawing.schematic.blocks import PIN_ELEMENT, pin_piece
from buildbook.drawing.schematic.boundary import Crossing, draw_boundaries
from buildbook.drawing.schematic.edges import Edges, node_of
from buildbook.drawing.schematic.elsewhere import elsewhere
from buildbook.drawing.schematic.labels import middles
from buildbook.drawing.schematic.paths import PIN, Element, Grid, Layout, Link, Port
from buildbook.drawing.schematic.pieces import (
    BLOCKS,
    FED,
    LINE_MM,
    PIN_MM,
    Inside,
    Piece,
    caption_of,
    closings,
    device_piece,
    draw_piece,
    element_of,
    flag_reference_mm,
    groups_of,
    inside_of,
    is_fed,
    loads_told,
    reordered,
)
from buildbook.drawing.schematic.sheeting import Group, Placed, Sheeting
from buildbook.drawing.shared import symbols
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.crossing import Over, crossings
from buildbook.drawing.shared.lettering import SMALL_MM, text_width_mm
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import AT_REST, Title, frame
from buildbook.drawing.shared.wire import drawn_wire, passed_over
from buildbook.drawing.shared.zones import BAND_MM, zone_of
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.model import Device

KEY = (
    "Beside a wire: number and size (mm² or AWG), then colour.",
    "Arrow: the wire goes on at the page and zone named.",
    "86 (303c), +201: that wire is on the pin too, drawn there.",
    "Dash-dot: a harness ends. Strokes: twisted. Oval: screened.",
    "Dot: joined.",
)
"""Written beside the title block of every sheet."""
GROUND_KEY = "Ground signs: one body, mapped on"
"""The last line goes on so, up to a reference, where there are grounds."""
CABLE_MM = 1.1
"""Room for the marks of a cable between a wire and its label."""
MOST_PINS = 6
"""Pins of one controller part on each edge."""
Spots = dict[tuple[str, str], tuple[str, str]]
"""(wire, pin) -> drawing and border zone where that end is drawn."""


def schematics(result: Result) -> dict[str, tuple[Drawing, ...]]:
    """Sheets by system; systems without wires have none."""
    plans: dict[str, _Plan] = {}
    names: set[str] = set()
    for system in result.vehicle.description.systems:
        wires = wires_of(result, system)
        if wires:
            name = file_name(f"schematic-{system}", names)
            names.add(name)
            plans[system] = _Plan(result, system, wires, name)
    spots = {end: spot for plan in plans.values() for end, spot in plan.spots().items()}
    return {system: plan.sheets(spots) for system, plan in plans.items()}


def file_name(words: str, taken: set[str]) -> str:
    """A name of letters, digits and hyphens, not among those taken."""
    plain = re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")
    found, n = plain, 2
    while found in taken:
        found, n = f"{plain}-{n}x", n + 1
    return found


def wires_of(result: Result, system: str) -> list[Wire]:
    """The wires of a system's circuits, in their order."""
    circuits = result.vehicle.circuits
    return [w for w in result.harness.wires.values() if circuits[w.circuit].system == system]


def label_of(result: Result, wire: Wire) -> tuple[str, str]:
    """Two lines: number and size ('204b 0.5', mm2 unless it says AWG), and colour."""
    sizing = result.sizing.wires.get(wire.id)
    size = sizing.label.removesuffix(" mm2") if sizing else ""
    return f"{wire.id} {size}".strip(), wire.colour


def _zone_at(placed: Placed, x: float, y: float) -> str:
    """Border zone of a place in a group, mm from the group's upper left corner."""
    margin = BAND_MM + 1.5
    return zone_of(margin + placed.x + x, margin + placed.y + y, *SHEET_MM)


def _port_of(element: str, links: list[Link]) -> Port:
    """Where the first of some links meets an element."""
    return next(port for link in links for port in (link.a, link.b) if port.element == element)


class _Plan:
    """One system: its pieces, the links between them, and the sheets they go on."""

    def __init__(self, result: Result, system: str, wires: list[Wire], name: str) -> None:
        self.result, self.system, self.wires, self.name = result, system, wires, name
        self.labels = {w.id: label_of(result, w) for w in wires}
        width = max(text_width_mm(t, SMALL_MM) for pair in self.labels.values() for t in pair)
        self.grid = Grid(width + 2.2, 2 * LINE_MM, width)
        self.wired: dict[str, list[str]] = defaultdict(list)
        self.devices: dict[str, list[str]] = defaultdict(list)
        for wire in wires:
            for end in (wire.a, wire.b):
                if end.kind == "pin":
                    self._note_pin(end.node, wire.id)
        battery = result.vehicle.description.supply.battery.between
        alternator = result.vehicle.description.supply.alternator
        self.supply = {"battery": self._pins(battery)}
        self.supply["alternator"] = self._pins(alternator.between) if alternator else None
        inside = {
            d: inside_of(self._device(d), self.supply.get(self._device(d).kind))
            for d in self.devices
        }
        self.edges = Edges(result.vehicle, wires, inside)
        self.pieces: dict[str, Piece] = {}
        self._make_devices()
        self._make_joints()
        self._make_blocks()
        self.links = [self._link(wire) for wire in wires]
        self.elements = {
            k: replace(PIN_ELEMENT, key=k) if p.kind == PIN else element_of(p, self.grid.pitch)
            for k, p in self.pieces.items()
        }

    def _device(self, id_: str) -> Device:
        return self.result.vehicle.devices[id_]

    def _pins(self, between: tuple[str, str]) -> tuple[str, str]:
        first, second = (
            p if p in self.result.vehicle.pins else f"{p}.{self._only(p)}" for p in between
        )
        return first, second

    def _only(self, device: str) -> str:
        return self._device(device).pins[0].name

    def _note_pin(self, pin: str, wire: str) -> None:
        device = self.result.vehicle.pins[pin].device
        if pin not in self.devices[device]:
            self.devices[device].append(pin)
        self.wired[pin].append(wire)

    def _elsewhere(self, device: Device) -> str:
        """The system that a device belongs to, where that one draws it too."""
        wire_at, wires = self.result.harness.wire_at, self.result.harness.wires
        met = {
            self.result.vehicle.circuits[wires[wire].circuit].system
            for pin in device.pins
            for wire in wire_at.get(pin.id, ())
        }
        there = device.system if device.system != self.system else ""
        return f"in {there}" if there in met else ""

    def _make_devices(self) -> None:
        for id_, pins in self.devices.items():
            device = self._device(id_)
            if device.kind in BLOCKS:
                continue
            if device.kind in ("ground", "panel"):
                for pin in pins:
                    for wire in self.wired[pin]:
                        self._make_stud(device, pin, wire)
                continue
            away = elsewhere(self.result, device, set(pins), self.system)
            for n, (inside, wired) in enumerate(groups_of(device, self.edges.inside[id_], pins)):
                key = f"device {id_} {n}"
                words, top = self._caption(device, inside), self.edges.top
                wires = {p: self.wired[p] for p in wired}
                self.pieces[key] = device_piece(key, device, inside, wires, top, words, away)

    def _caption(self, device: Device, inside: list[Inside]) -> tuple[str, ...]:
        """Name and title, a fuse's rating, and when the contacts drawn here are closed."""
        fuse = self.result.sizing.fuses.get(device.id)
        title = f"{fuse.rating_a:g} A {device.title}".strip() if fuse else device.title
        more = closings(device, inside) + loads_told(device, inside)
        return caption_of(device.id, title, self._elsewhere(device), more)

    def _make_stud(self, device: Device, pin: str, wire: str) -> None:
        key = f"stud {pin} {wire}"
        ground = device.kind == "ground"
        name = device.id if ground else pin
        feeds = not ground and any(
            pin in (bond.from_pin, bond.to_pin)
            for fuse in self.result.vehicle.all_of("fuse")
            for bond in fuse.bonds
        )
        self.pieces[key] = Piece(
            key,
            "return" if ground else "stud",
            (name,),
            device,
            tops=[(0, pin, wire)],
            goes_on=(panel_name(device), "") if feeds else ("", ""),
        )

    def _make_joints(self) -> None:
        """Splices, pass-through contacts and capped ends, with their ports."""
        sides: dict[str, dict[bool, list[str]]] = defaultdict(lambda: {True: [], False: []})
        for wire in self.wires:
            for end in (wire.a, wire.b):
                if end.kind != "pin":
                    node = node_of(end)
                    sides[node][self.edges.upper[wire.id] != node].append(wire.id)
        for node, ports in sides.items():
            kind, name = node.split(" ", 1)
            if kind == "half":
                self._even(node, ports)
            rounds = max(len(ports[True]), len(ports[False]))
            for n in range(0, rounds, MOST_PINS):
                words = self._cap_words(ports) if kind == "capped" else name
                if rounds > MOST_PINS:
                    words += f" ({n // MOST_PINS + 1})"
                key = f"{node}#{n // MOST_PINS}"
                part = [
                    [(c, "", w) for c, w in enumerate(ports[top][n : n + MOST_PINS])]
                    for top in (True, False)
                ]
                self.pieces[key] = Piece(
                    key,
                    "cap" if kind == "capped" else kind,
                    (words,),
                    None,
                    [],
                    *part,
                    harnesses=self._harnesses(*part),
                )

    def _harnesses(self, *edges: list[tuple[int, str, str]]) -> tuple[str, str]:
        """Harness of the first wire above and of the first below."""
        above, below = (self.result.harness.wires[e[0][2]].harness if e else "" for e in edges)
        return above, below

    def _cap_words(self, ports: dict[bool, list[str]]) -> str:
        wire = self.result.harness.wires[(ports[True] + ports[False])[0]]
        cable = self.result.vehicle.description.cables.get(wire.cable)
        return (
            f"screen of {wire.cable}, capped"
            if cable and cable.screen == wire.circuit
            else "capped"
        )

    def _even(self, node: str, ports: dict[bool, list[str]]) -> None:
        """A contact between two harnesses has one wire above and one below."""
        for top in (True, False):
            while len(ports[top]) > 1 and not ports[not top]:
                ports[not top].append(ports[top].pop())

    def _make_blocks(self) -> None:
        """Pins of controllers and displays, each by itself until their sheets are known."""
        for id_, pins in self.devices.items():
            device = self._device(id_)
            for pin in pins if device.kind in BLOCKS else ():
                for wire in self.wired[pin]:
                    key = f"pin {pin} {wire}"
                    self.pieces[key] = pin_piece(key, device, pin, wire, pin in self.edges.top)

    def _block_caption(self, id_: str) -> tuple[str, ...]:
        device = self._device(id_)
        return caption_of(id_, device.title, self._elsewhere(device))

    def _link(self, wire: Wire) -> Link:
        ports = []
        for end in (wire.a, wire.b):
            node = node_of(end)
            for piece in self.pieces.values():
                if end.kind == "pin":
                    side = [
                        t
                        for t, edge in ((True, piece.tops), (False, piece.bottoms))
                        if any(p == end.node and w == wire.id for _, p, w in edge)
                    ]
                    found = piece.port(wire.id, side[0]) if side else None
                else:
                    mine = piece.key.split("#")[0] == node
                    found = (
                        piece.port(wire.id, True) or piece.port(wire.id, False) if mine else None
                    )
                if found:
                    ports.append(found)
                    break
        return Link(wire.id, ports[0], ports[1])

    def _beside_cores(self) -> tuple[list[tuple[str, str]], set[str]]:
        """Elements to keep together: cables' screens and cores that have no end in common.

        Also the elements of these screens.
        """
        together: list[tuple[str, str]] = []
        found: set[str] = set()
        links = {link.id: link for link in self.links}
        for cable in self.result.vehicle.description.cables.values():
            screen = [links[w.id] for w in self.wires if w.circuit == cable.screen]
            cores = [links[w.id] for w in self.wires if w.circuit in cable.cores]
            mine = {port.element for link in screen for port in (link.a, link.b)}
            theirs = {port.element for link in cores for port in (link.a, link.b)}
            if mine and theirs and not mine & theirs:
                together.append((screen[0].a.element, cores[0].a.element))
                found |= mine
        return together, found

    @cached_property
    def packed(self) -> list[list[Placed]]:
        """The groups of paths by sheet; the blocks on these are pieces from then on."""
        together, screens = self._beside_cores()
        sheeting = Sheeting(self.pieces, self.grid, self._block_caption)
        sheets = sheeting.sheets(self.elements, self.links, together, screens)
        self.pieces = sheeting.pieces
        return sheets

    def spots(self) -> Spots:
        """(wire, pin) -> drawing and border zone, of every end drawn."""
        found: Spots = {}
        for n, sheet in enumerate(self.packed, 1):
            for placed in sheet:
                for link in placed.group.links:
                    wire = link.id.removesuffix("~")
                    for port in (link.a, link.b):
                        piece = self.pieces.get(port.element)
                        edge = (piece.tops if port.top else piece.bottoms) if piece else []
                        for pin in (p for _, p, w in edge if p and w == wire):
                            zone = self._zone(placed, port)
                            found[wire, pin] = f"{self.name}-{n}", zone
        return found

    def _zone(self, placed: Placed, port: Port) -> str:
        """Border zone of the terminal at which a wire ends."""
        group = placed.group
        (x, y), element = group.layout.at[port.element], group.elements[port.element]
        x += group.layout.columns.get(port, port.column) * group.grid.pitch
        inwards = PIN_MM / 2 if element.kind in ("supply", "device") else 0.0
        return _zone_at(placed, x, y + inwards if port.top else y + element.height - inwards)

    def sheets(self, spots: Spots) -> tuple[Drawing, ...]:
        """The drawings; `spots` are the ends of the wires of all systems."""
        flags: dict[str, tuple[str, str, str]] = {}
        for n, sheet in enumerate(self.packed, 1):
            for placed in sheet:
                for key, element in placed.group.elements.items():
                    if element.kind == "flag":
                        x, y = placed.group.layout.at[key]
                        fed = _port_of(key, placed.group.links).top
                        zone = _zone_at(placed, x, y + flag_reference_mm(fed) - 1.0)
                        flags[key] = f"sheet {n} {zone}", f"{self.name}-{n}", zone
        return tuple(self._draw(sheet, n, flags, spots) for n, sheet in enumerate(self.packed, 1))

    def _draw(
        self, sheet: list[Placed], number: int, flags: dict[str, tuple[str, str, str]], spots: Spots
    ) -> Drawing:
        vehicle = self.result.vehicle.description.vehicle
        system = self.result.vehicle.description.systems[self.system]
        canvas, name, count = Canvas(*SHEET_MM), f"{self.name}-{number}", len(self.packed)
        room = frame(
            canvas,
            Title(
                vehicle.name,
                f"Schematic: {system.title}",
                self.system,
                vehicle.revision,
                vehicle.date.isoformat(),
                number,
                count,
                AT_REST,
                name,
            ),
        )
        self._write_key(canvas, room)
        for placed in sheet:
            ox, oy = room.x + placed.x, room.y + placed.y
            group = placed.group
            labels = self._labels(group)
            for link in group.links:
                self._draw_link(canvas, link, group.layout.lines[link.id], labels, (ox, oy), name)
            self._draw_crossings(canvas, group.layout, ox, oy)
            for key in group.elements:
                x, y = group.layout.at[key]
                piece = self.pieces.get(key) or self._flag(key, group.links, flags)
                there = {
                    pin: spots[away.wire, away.pin]
                    for pin, away in piece.away.items()
                    if (away.wire, away.pin) in spots
                }
                told = replace(piece, there=there, fed_at=self._fed_at(piece, spots))
                moved = reordered(told, group.layout.columns)
                draw_piece(canvas, moved, ox + x, oy + y, group.grid.pitch)
        self._draw_boundaries(canvas, sheet, room)
        return canvas.drawing(name, f"Schematic: {system.title}, sheet {number} of {count}")

    def _fed_at(self, piece: Piece, spots: Spots) -> tuple[tuple[str, tuple[str, str]], ...]:
        """Where the first feed and the first ground of a block are drawn, if not at this one."""
        if not is_fed(piece):
            return ()
        power, id_ = piece.device.written.power, piece.device.id
        here = {pin for _, pin, _ in piece.tops + piece.bottoms}
        wire_at = self.result.harness.wire_at
        found = []
        for word, names in zip(FED, (power.feeds, power.grounds), strict=True):
            pins = [f"{id_}.{name}" for name in names]
            ends = [(wire, pin) for pin in pins for wire in wire_at.get(pin, ())]
            drawn = [end for end in ends if end in spots]
            if drawn and drawn[0][1] not in here:
                found.append((word, spots[drawn[0]]))
        return tuple(found)

    def _write_key(self, canvas: Canvas, room: Box) -> None:
        """What the signs of a sheet mean, beside the title block, and where grounds are drawn."""
        y = room.bottom + 3.9
        grounded = any(d.kind == "ground" for d in self.result.vehicle.devices.values())
        words = (*KEY[:-1], f"{KEY[-1]} {GROUND_KEY}") if grounded else KEY
        for n, line in enumerate(words):
            canvas.text(room.x, y + n * LINE_MM, line, class_="note")
        if grounded:
            end = room.x + text_width_mm(words[-1], SMALL_MM) + 1.0
            last = y + (len(words) - 1) * LINE_MM
            canvas.reference(end, last, GROUND_MAP, words="the ground map", class_="note")

    def _draw_boundaries(self, canvas: Canvas, sheet: list[Placed], room: Box) -> None:
        crossings, solid, wires = [], [], []
        for placed in sheet:
            ox, oy, layout = room.x + placed.x, room.y + placed.y, placed.group.layout
            for key, element in placed.group.elements.items():
                x, y = ox + layout.at[key][0], oy + layout.at[key][1]
                if element.kind != "half":
                    taken = self._room(placed.group, key)
                    wide = taken.left + taken.right
                    solid.append(Box(x - taken.left, y, wide, taken.height))
                    continue
                piece = self.pieces[key]
                words = text_width_mm(piece.caption[0], SMALL_MM, True)
                connector = piece.caption[0].rsplit(".", 1)[0]
                crossings.append(Crossing(x, y, element.right, words, connector, piece.harnesses))
            for line in layout.lines.values():
                wires += [
                    (ox + a[0], *sorted((oy + a[1], oy + b[1])))
                    for a, b in pairwise(line)
                    if a[0] == b[0]
                ]
        draw_boundaries(canvas, crossings, solid, wires)

    def _room(self, group: Group, key: str) -> Element:
        """What an element takes with its wires in the columns that the layout chose."""
        piece = self.pieces.get(key)
        if piece is None:
            return group.elements[key]
        return element_of(reordered(piece, group.layout.columns), group.grid.pitch)

    def _flag(self, key: str, links: list[Link], flags: dict[str, tuple[str, str, str]]) -> Piece:
        wire = key.removeprefix("flag:").removesuffix("~")
        partner = f"flag:{wire}" if key.endswith("~") else f"flag:{wire}~"
        port = _port_of(key, links)
        edge = [(0, "", wire)]
        words, sheet, zone = flags[partner]
        return Piece(
            key,
            "flag",
            (wire, words),
            None,
            [],
            edge if port.top else [],
            [] if port.top else edge,
            goes_on=(sheet, zone),
        )

    def _labels(self, group: Group) -> dict[str, tuple[float, float]]:
        """Where the wires' labels stand; those of a cable stay side by side with its marks."""
        layout, wires = group.layout, self.result.harness.wires
        solid = []
        for key, element in group.elements.items():
            x, y = layout.at[key]
            left, right = (
                (0.0, layout.width)
                if element.kind == "half"
                else (x - element.left, x + element.right)
            )
            solid.append(Box(left, y, right - left, element.height))
        free = [link.id for link in group.links if link.labelled and not wires[link.id].cable]
        sizes = {
            id_: (max(text_width_mm(t, SMALL_MM) for t in self.labels[id_]), 2 * LINE_MM)
            for id_ in free
        }
        fixed = [
            Box(*layout.labels[link.id], self.grid.label_w, 2 * LINE_MM)
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
        for n, line in enumerate(self.labels[id_]):
            canvas.text(x + beside, y + 2.3 + n * LINE_MM, line, class_="wire-label")
        self._draw_cable(canvas, into, wire, x - 0.7, y)

    def _draw_crossings(self, canvas: Canvas, layout: Layout, ox: float, oy: float) -> None:
        """A gap in the upright wire wherever a level one of another passes over it."""
        for over in crossings(layout.lines):
            wire = self.result.harness.wires[over.wire.removesuffix("~")]
            into = canvas.group(class_="crossing")
            points = [(ox + x, oy + y) for x, y in layout.lines[over.wire]]
            placed = Over(
                over.wire, (ox + over.at[0], oy + over.at[1]), oy + over.top, oy + over.foot
            )
            passed_over(canvas, points, placed, wire.colour, into)

    def _draw_cable(self, canvas: Canvas, into, wire: Wire, x: float, y: float) -> None:
        """Marks a wire of a cable: strokes for a twisted pair, an oval for a screen."""
        cable = self.result.vehicle.description.cables.get(wire.cable)
        if cable and cable.type == "twisted pair":
            for down in (1.6, 3.0, 4.4):
                symbols.twist(canvas, into, x, x, y + down)
        elif cable and cable.screen != wire.circuit:
            symbols.screen(canvas, into, Box(x - 0.95, y + 0.4, 1.9, 5.0))

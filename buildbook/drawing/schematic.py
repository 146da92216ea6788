"""Schematics: every wire of a system once, in current paths from supply down to return."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise, permutations, product

from buildbook.drawing import symbols
from buildbook.drawing.blocks import PIN_ELEMENT, Part, edges_of, merged, owners, pin_piece
from buildbook.drawing.boundary import Crossing, draw_boundaries
from buildbook.drawing.crossing import crossings
from buildbook.drawing.edges import Edges, node_of
from buildbook.drawing.elsewhere import elsewhere
from buildbook.drawing.ground import GROUND_MAP
from buildbook.drawing.labels import middles
from buildbook.drawing.model import SHEET_MM, Drawing
from buildbook.drawing.packing import NO_MARKS, pack, spread
from buildbook.drawing.paths import (
    PIN,
    Element,
    Grid,
    Layout,
    Link,
    Port,
    Way,
    lay_out,
    split,
    stretched,
)
from buildbook.drawing.pieces import (
    BLOCKS,
    FED,
    LINE_MM,
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
    reordered,
)
from buildbook.drawing.sheet import (
    AT_REST,
    BAND_MM,
    BLOCK_MM,
    SMALL_MM,
    Box,
    Canvas,
    Title,
    frame,
    text_width_mm,
    zone_of,
)
from buildbook.drawing.wire import drawn_wire, passed_over
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.model import Device

ROOM_MM = (SHEET_MM[0] - 2 * BAND_MM - 3, SHEET_MM[1] - 2 * BAND_MM - BLOCK_MM[1] - 3)
"""Width and height left inside frame and title block."""
BETWEEN_MM = 4.0
"""Least distance between groups of paths on a sheet."""
MOST_BETWEEN_MM = 30.0
MOST_TALLER_MM = 7.0
SPREADS = (
    (2.0, 20.0), (1.6, 20.0), (1.35, 12.0), (1.35, 1.0), (1.15, 8.0), (1.15, 1.0),
    (1.0, 12.0), (1.0, 4.0), (1.0, 1.0),
)  # fmt: skip
"""Shares of the column pitch and mm of width against bends, tried in turn on each sheet."""
CUT_SHARES = (1 / 3, 1 / 4, 2 / 5, 1 / 6, 1 / 10, 0.3, 0.2, 0.45)
"""Least shares of a group's elements in a part cut off it; the one with fewest sheets is kept."""
FEW_PARTS = 12
"""Paths that meet blocks, tried at a time: more than a sheet takes."""
MOST_WIRES = 150
"""Wires of a system up to which every share is tried."""
MOST_ORDERED = 6
"""Sheets of a system up to which every order of them is tried."""
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
CABLE_MM = 0.5
"""Room for the marks of a cable between a wire and its label."""
MOST_PINS = 6
"""Pins of one controller part on each edge."""
Spots = dict[tuple[str, str], tuple[str, str]]
"""(wire, pin) -> drawing and border zone where that end is drawn."""
FLAG = Element("", 7.6, 7.6, 2.2 + 2 * LINE_MM, "flag")


@dataclass(frozen=True)
class Group:
    """Elements joined to each other, laid out."""

    elements: dict[str, Element]
    links: list[Link]
    layout: Layout
    grid: Grid
    parts: list[Part]
    """What it was made from: each pin of a block by itself."""


@dataclass(frozen=True)
class Placed:
    group: Group
    x: float
    y: float


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


def _flags(group: Group) -> list[str]:
    return [key for key, element in group.elements.items() if element.kind == "flag"]


def _uncut(parts: list[Part], flag: str) -> list[Part]:
    """The parts with those on the two sides of a cut in one, its flags gone."""
    flags = {flag, f"{flag}~"}
    cut = [part for part in parts if flags & part[0].keys()]
    elements = {k: e for part in cut for k, e in part[0].items() if k not in flags}
    links = [link for part in cut for link in part[1]]
    sides = [link for link in links if {link.a.element, link.b.element} & flags]
    ends = [port for link in sides for port in (link.a, link.b) if port.element not in flags]
    id_ = flag.removeprefix("flag:")
    whole = (elements, [link for link in links if link not in sides] + [Link(id_, *ends)])
    return [part for part in parts if part not in cut] + [whole]


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
        inside = {d: inside_of(self._device(d), self.supply.get(self._device(d).kind))
                  for d in self.devices}  # fmt: skip
        self.edges = Edges(result.vehicle, wires, inside)
        self.pieces: dict[str, Piece] = {}
        self.layouts: dict[tuple, Layout] = {}
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
        first, second = (p if p in self.result.vehicle.pins else f"{p}.{self._only(p)}"
                         for p in between)  # fmt: skip
        return first, second

    def _only(self, device: str) -> str:
        return self._device(device).pins[0].name

    def _note_pin(self, pin: str, wire: str) -> None:
        device = self.result.vehicle.pins[pin].device
        if pin not in self.devices[device]:
            self.devices[device].append(pin)
        self.wired[pin].append(wire)

    def _elsewhere(self, device: Device) -> str:
        return f"in {device.system}" if device.system and device.system != self.system else ""

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
        return caption_of(device.id, title, self._elsewhere(device), closings(device, inside))

    def _make_stud(self, device: Device, pin: str, wire: str) -> None:
        key = f"stud {pin} {wire}"
        ground = device.kind == "ground"
        name = device.id if ground else pin
        self.pieces[key] = Piece(
            key, "return" if ground else "stud", (name,), device, tops=[(0, pin, wire)]
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
                part = [[(c, "", w) for c, w in enumerate(ports[top][n : n + MOST_PINS])]
                        for top in (True, False)]  # fmt: skip
                self.pieces[key] = Piece(
                    key, "cap" if kind == "capped" else kind, (words,), None, [], *part,
                    harnesses=self._harnesses(*part),
                )  # fmt: skip

    def _harnesses(self, *edges: list[tuple[int, str, str]]) -> tuple[str, str]:
        """Harness of the first wire above and of the first below."""
        above, below = (self.result.harness.wires[e[0][2]].harness if e else "" for e in edges)
        return above, below

    def _cap_words(self, ports: dict[bool, list[str]]) -> str:
        wire = self.result.harness.wires[(ports[True] + ports[False])[0]]
        cable = self.result.vehicle.description.cables.get(wire.cable)
        return "screen, capped" if cable and cable.screen == wire.circuit else "capped"

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
                    side = [t for t, edge in ((True, piece.tops), (False, piece.bottoms))
                            if any(p == end.node and w == wire.id for _, p, w in edge)]  # fmt: skip
                    found = piece.port(wire.id, side[0]) if side else None
                else:
                    mine = piece.key.split("#")[0] == node
                    found = (piece.port(wire.id, True) or piece.port(wire.id, False)
                             if mine else None)  # fmt: skip
                if found:
                    ports.append(found)
                    break
        return Link(wire.id, ports[0], ports[1])

    def _beside_cores(self, near: dict[str, set[str]]) -> set[str]:
        """Counts a cable's screen as joined to its cores where it has no end in common with them.

        Returns the elements of these screens.
        """
        found: set[str] = set()
        links = {link.id: link for link in self.links}
        for cable in self.result.vehicle.description.cables.values():
            screen = [links[w.id] for w in self.wires if w.circuit == cable.screen]
            cores = [links[w.id] for w in self.wires if w.circuit in cable.cores]
            mine = {port.element for link in screen for port in (link.a, link.b)}
            if (
                not cores
                or not screen
                or not mine.isdisjoint(port.element for link in cores for port in (link.a, link.b))
            ):
                continue
            near[screen[0].a.element].add(cores[0].a.element)
            near[cores[0].a.element].add(screen[0].a.element)
            found |= mine
        return found

    def _groups(self, share: float) -> list[Group]:
        """The joined groups, cut until each fits on a sheet."""
        near: dict[str, set[str]] = defaultdict(set)
        for link in self.links:
            near[link.a.element].add(link.b.element)
            near[link.b.element].add(link.a.element)
        beside = self._beside_cores(near)
        seen: set[str] = set()
        waiting = []
        for key in self.elements:
            if key in seen:
                continue
            mine, queue = {key}, [key]
            while queue:
                for other in near[queue.pop()] - mine:
                    mine.add(other)
                    queue.append(other)
            seen |= mine
            late = beside & mine
            keys = sorted((k for k in self.elements if k in mine), key=lambda k: k in late)
            waiting.append((
                {k: self.elements[k] for k in keys},
                [link for link in self.links if link.a.element in mine],
            ))  # fmt: skip
        fitting = [part for found in waiting for part in self._cut(found, share)]
        hosted = [part for part in fitting if owners(part, self.pieces)]
        done = [self._group([part]) for part in fitting if part not in hosted]
        return done + self._shared(hosted)

    def _cut(self, part: Part, share: float) -> list[Part]:
        """The part, cut where the fewest conductors are cut until each piece goes on a sheet."""
        if self._fits(self._group([part])):
            return [part]
        layout = self._laid(*part, self.grid)
        parts = split(*part, layout, layout.height > ROOM_MM[1], FLAG, share)
        if len(parts) < 2:
            return [part]
        return [piece for half in parts for piece in self._cut(half, share)]

    def _shared(self, parts: list[Part]) -> list[Group]:
        """Groups of parts that meet blocks, as few as fit on sheets; each has a block once."""
        if not parts:
            return []
        if len(parts) > 2 * FEW_PARTS:
            return self._shared(parts[:FEW_PARTS]) + self._shared(parts[FEW_PARTS:])
        whole = self._group(parts)
        if len(parts) == 1 or self._fits(whole):
            return [whole]
        if whole.layout.height > ROOM_MM[1]:
            above = [p for p in parts if True in edges_of(p, self.pieces)]
            below = [p for p in parts if p not in above]
            if above and below:
                return self._shared(above) + self._shared(below)
        low, high = 1, len(parts) - 1
        while low < high:
            middle = (low + high + 1) // 2
            fits = self._fits(self._group(parts[:middle]))
            low, high = (middle, high) if fits else (low, middle - 1)
        return [self._group(parts[:low]), *self._shared(parts[low:])]

    def _fits(self, group: Group) -> bool:
        return group.layout.width <= ROOM_MM[0] and group.layout.height <= ROOM_MM[1]

    def _group(self, parts: list[Part]) -> Group:
        """The parts laid out together, spread where that goes on a sheet."""
        found = merged(parts, self.pieces, self.grid.pitch, self._block_caption)
        self.pieces |= found.pieces
        layout = self._laid(found.elements, found.links, self.grid)
        return Group(found.elements, found.links, layout, self.grid, parts)

    def _laid(self, elements: dict[str, Element], links: list[Link], grid: Grid) -> Layout:
        key = (tuple(elements.values()), tuple(link.id for link in links), grid)
        if key not in self.layouts:
            layout = lay_out(elements, links, grid)
            if layout.width > ROOM_MM[0]:
                narrow = lay_out(elements, links, grid, Way(spread=False))
                layout = min(layout, narrow, key=lambda found: found.width)
            self.layouts[key] = layout
        return self.layouts[key]

    def _has_battery(self, group: Group) -> bool:
        devices = (self.pieces[key].device for key in group.elements if key in self.pieces)
        return any(device and device.kind == "battery" for device in devices)

    def _blocks_of(self, group: Group) -> set[str]:
        found = (self.pieces[key].device for key, e in group.elements.items() if e.spread)
        return {device.id for device in found if device}

    def _pack(self) -> list[list[Placed]]:
        """Groups on as few sheets as they go on, the battery's first, each sheet spread out."""
        tried = []
        for share in CUT_SHARES if len(self.wires) <= MOST_WIRES else CUT_SHARES[:1]:
            groups = self._groups(share)
            sizes = [(g.layout.width, g.layout.height) for g in groups]
            first = [n for n, group in enumerate(groups) if self._has_battery(group)]
            blocks = {n: self._blocks_of(group) for n, group in enumerate(groups)}
            tried += [(groups, pack(sizes, ROOM_MM, BETWEEN_MM, first, marks))
                      for marks in (blocks, NO_MARKS)]  # fmt: skip
        fewest = min(len(sheets) for _, sheets in tried)
        packed = [
            [self._rejoined([Placed(groups[n], x, y) for n, x, y in sorted(sheet)])
             for sheet in sheets]
            for groups, sheets in tried if len(sheets) == fewest
        ]  # fmt: skip
        best = min(packed, key=lambda sheets: sum(len(_flags(p.group)) for s in sheets for p in s))
        return [self._spread(sheet) for sheet in self._ordered(best)]

    def _rejoined(self, sheet: list[Placed]) -> list[Placed]:
        """A sheet on which what was cut apart and came to stand on it is whole, if it holds that.

        A wire is whole again, and a block with all its pins.
        """
        for flag in [k for p in sheet for k in _flags(p.group) if not k.endswith("~")]:
            mine = [p for p in sheet if {flag, f"{flag}~"} & p.group.elements.keys()]
            if sum(len({flag, f"{flag}~"} & p.group.elements.keys()) for p in mine) == 2:
                sheet = self._with_whole(sheet, mine, flag)
        for id_ in dict.fromkeys(d for p in sheet for d in sorted(self._blocks_of(p.group))):
            mine = [p for p in sheet if id_ in self._blocks_of(p.group)]
            if len(mine) > 1:
                sheet = self._with_whole(sheet, mine)
        return sheet

    def _with_whole(self, sheet: list[Placed], mine: list[Placed], flag: str = "") -> list[Placed]:
        """The sheet with some of its groups in one, or as it was where that does not go on it."""
        parts = [part for p in mine for part in p.group.parts]
        whole = self._group(_uncut(parts, flag) if flag else parts)
        groups = [whole, *(p.group for p in sheet if p not in mine)]
        first = [n for n, group in enumerate(groups) if self._has_battery(group)]
        return self._taller(groups, 0.0, first) or sheet

    def _ordered(self, sheets: list[list[Placed]]) -> list[list[Placed]]:
        """The sheets in the order in which most cut wires go on at a later sheet."""
        if len(sheets) > MOST_ORDERED:
            return sheets
        keys = [{k for p in sheet for k in p.group.elements if k.startswith("flag:")}
                for sheet in sheets]  # fmt: skip
        battery = [any(self._has_battery(p.group) for p in sheet) for sheet in sheets]

        def against(order: tuple[int, ...]) -> tuple[int, int]:
            back = sum(f"{key}~" in keys[earlier] for place, later in enumerate(order)
                       for earlier in order[:place] for key in keys[later])  # fmt: skip
            return order.index(battery.index(True)) if any(battery) else 0, back

        return [sheets[n] for n in min(permutations(range(len(sheets))), key=against)]

    def _spread(self, packed: list[Placed]) -> list[Placed]:
        """The groups of a sheet, drawn as widely as all of them still go on it.

        Where there is room, blocks say where they are fed, and what their pins are for.
        """
        groups = [placed.group for placed in packed]
        first = [n for n, group in enumerate(groups) if self._has_battery(group)]
        blocks = [k for g in groups for k, element in g.elements.items() if element.spread]
        for told, (share, wider) in product((2, 1, 0) if blocks else (0,), SPREADS):
            self.pieces |= {k: replace(self.pieces[k], told=told) for k in blocks}
            grid = replace(self.grid, pitch=self.grid.pitch * share, gap=self.grid.gap * share**5,
                           wider=wider)  # fmt: skip
            plain = grid == self.grid and not told
            drawn = groups if plain else [self._redrawn(g, grid) for g in groups]
            low, high, found = 0.0, MOST_TALLER_MM, self._taller(drawn, 0.0, first)
            while found and high - low > 0.2:
                tried = self._taller(drawn, (low + high) / 2, first)
                low, high = ((low + high) / 2, high) if tried else (low, (low + high) / 2)
                found = tried or found
            if found:
                return found
        return packed

    def _taller(self, groups: list[Group], mm: float, first: list[int]) -> list[Placed]:
        """The groups stretched and spread over one sheet; nothing where they do not go on it."""
        tried = [replace(g, layout=stretched(g.layout, mm)) for g in groups]
        sizes = [(g.layout.width, g.layout.height) for g in tried]
        sheets = pack(sizes, ROOM_MM, BETWEEN_MM, first)
        if len(sheets) > 1 or any(w > ROOM_MM[0] or h > ROOM_MM[1] for w, h in sizes):
            return []
        spots = spread(sizes, sheets[0], ROOM_MM, BETWEEN_MM, MOST_BETWEEN_MM)
        left = (ROOM_MM[0] - max(x + sizes[n][0] for n, x, _ in spots)) / 2
        return [Placed(tried[n], left + x, y) for n, x, y in spots]

    def _redrawn(self, group: Group, grid: Grid) -> Group:
        elements = {
            key: replace(element_of(self.pieces[key], grid.pitch), spread=element.spread)
            if key in self.pieces else element
            for key, element in group.elements.items()
        }  # fmt: skip
        layout = self._laid(elements, group.links, grid)
        return replace(group, elements=elements, layout=layout, grid=grid)

    @cached_property
    def packed(self) -> list[list[Placed]]:
        return self._pack()

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
        return _zone_at(placed, x, y if port.top else y + element.height)

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
        room = frame(canvas, Title(
            vehicle.name, f"Schematic: {system.title}", self.system, vehicle.revision,
            vehicle.date.isoformat(), number, count, AT_REST, name,
        ))  # fmt: skip
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
                there = {pin: spots[away.wire, away.pin] for pin, away in piece.away.items()
                         if (away.wire, away.pin) in spots}  # fmt: skip
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
                crossings.append(
                    Crossing(x, y, element.right, words, connector, piece.harnesses)
                )  # fmt: skip
            for line in layout.lines.values():
                wires += [(ox + a[0], *sorted((oy + a[1], oy + b[1])))
                          for a, b in pairwise(line) if a[0] == b[0]]  # fmt: skip
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
            key, "flag", (wire, words), None, [],
            edge if port.top else [], [] if port.top else edge, goes_on=(sheet, zone),
        )  # fmt: skip

    def _labels(self, group: Group) -> dict[str, tuple[float, float]]:
        """Where the wires' labels stand; those of a cable stay side by side with its marks."""
        layout, wires = group.layout, self.result.harness.wires
        solid = []
        for key, element in group.elements.items():
            x, y = layout.at[key]
            left, right = (0.0, layout.width) if element.kind == "half" else \
                (x - element.left, x + element.right)  # fmt: skip
            solid.append(Box(left, y, right - left, element.height))
        free = [link.id for link in group.links if link.labelled and not wires[link.id].cable]
        sizes = {id_: (max(text_width_mm(t, SMALL_MM) for t in self.labels[id_]), 2 * LINE_MM)
                 for id_ in free}  # fmt: skip
        fixed = [Box(*layout.labels[link.id], self.grid.label_w, 2 * LINE_MM)
                 for link in group.links if link.labelled and link.id not in sizes]  # fmt: skip
        given = {id_: layout.labels[id_] for id_ in free}
        found = middles(layout.lines, given, sizes, [*solid, *fixed], layout.width)
        return {**layout.labels, **found}

    def _draw_link(
        self, canvas: Canvas, link: Link, line: list[tuple[float, float]],
        labels: dict[str, tuple[float, float]], at: tuple[float, float], name: str,
    ) -> None:  # fmt: skip
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
        for id_, at in crossings(layout.lines):
            wire = self.result.harness.wires[id_.removesuffix("~")]
            into = canvas.group(class_="crossing")
            passed_over(canvas, (ox + at[0], oy + at[1]), wire.colour, into)

    def _draw_cable(self, canvas: Canvas, into, wire: Wire, x: float, y: float) -> None:
        """Marks a wire of a cable: strokes for a twisted pair, an oval for a screen."""
        cable = self.result.vehicle.description.cables.get(wire.cable)
        if cable and cable.type == "twisted pair":
            for down in (1.6, 3.0, 4.4):
                symbols.twist(canvas, into, x, x, y + down)
        elif cable and cable.screen != wire.circuit:
            symbols.screen(canvas, into, Box(x - 0.95, y + 0.4, 1.9, 5.0))

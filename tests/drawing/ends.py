"""Where the wires of a schematic end, by coordinates: what the drawn lines join, read from SVG."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.zones import zone_of
from buildbook.harness.model import End, Wire
from buildbook.result import Result
from tests.drawing.legible import Bounds, bounds
from tests.drawing.svg import Scene, Text, scene
from tests.drawing.svg_outlines import Point

MEETS_MM = 0.02
"""A line's end meets a terminal that it comes as near to as this."""
INK_MM = 0.3
"""The middle of words lies so near to the middle of their ink."""
BESIDE_MM = (0.9, 2.2)
"""A pin's name starts this far right of its terminal."""
TERMINAL_MM = 3.6
"""Height of a terminal at a device's edge: its name stands beside it."""
LEFT_MM = 0.6
"""Lines of one name start within this of each other, or are centred within this."""
CENTRED = ("flag", "stud", "return")
"""Elements with their name in line with their wire and away from it, others on their right."""
NEXT_LINE_MM = 4.0
CAPTION_MM = 6.0
"""A device's name stands no farther than this from its outline."""


@dataclass(frozen=True)
class Symbol:
    """One element: what it says it stands for, its outline, where strokes of it end."""

    of: str
    kind: str
    box: Bounds
    ends: tuple[Point, ...]
    group: tuple[int, ...]


@dataclass(frozen=True)
class Met:
    """What one end of a drawn line meets: 'pin ecu.A5', 'splice S804', 'flag 804e', …"""

    kind: str
    name: str
    symbol: Symbol


@dataclass(frozen=True)
class Drawn:
    """One line of a wire on one sheet; `labelled` on the sheet where its number is written."""

    wire: str
    sheet: str
    labelled: bool
    ends: tuple[Point, Point]


def symbols_of(drawn: Scene) -> list[Symbol]:
    """The elements of a sheet."""
    held: dict[tuple[int, ...], list] = defaultdict(list)
    for shape in (*drawn.strokes, *drawn.areas):
        if "element" in shape.at.classes:
            held[shape.at.group].append(shape)
    found = []
    for group, shapes in held.items():
        classes = shapes[0].at.classes - {"element", "lines", "symbol"}
        ends = [p for s in shapes if hasattr(s, "width") for p in (s.points[0], s.points[-1])]
        points = [p for s in shapes for p in s.points]
        rims = [_rims(s.points) for s in shapes if s.at.tag == "circle"]
        found.append(
            Symbol(
                shapes[0].at.said("data-of"),
                min(classes),
                bounds(points),
                tuple([*ends, *(p for rim in rims for p in rim)]),
                group,
            )
        )
    return found


def _middle(box: Bounds) -> float:
    return (box.left + box.right) / 2


def _rims(points: Iterable[Point]) -> list[Point]:
    """Top and foot of a circle."""
    box = bounds(list(points))
    middle = _middle(box)
    return [(middle, box.top), (middle, box.bottom)]


def lines_of(drawn: Scene, sheet: str) -> list[Drawn]:
    """The wires' lines of a sheet; each is stroked in its colour and in black on top."""
    found: dict[tuple[int, ...], Drawn] = {}
    for stroke in drawn.strokes:
        if stroke.at.classes & {"wire", "goes-on"} and stroke.at.tag == "polyline":
            ends = (stroke.points[0], stroke.points[-1])
            line = Drawn(stroke.at.said("data-wire"), sheet, "wire" in stroke.at.classes, ends)
            found.setdefault(stroke.at.group, line)
    return list(found.values())


class Sheet:
    """A schematic sheet read back."""

    def __init__(self, name: str, svg: str) -> None:
        self.name, self.scene = name, scene(svg)
        self.symbols = symbols_of(self.scene)
        self.lines = lines_of(self.scene, name)
        self.texts: dict[str, list[Text]] = defaultdict(list)
        for text in self.scene.texts:
            for class_ in text.at.classes - {"labels"}:
                self.texts[class_].append(text)

    def meets(self, end: Point) -> list[Symbol]:
        """The elements of which a stroke ends where a wire does."""
        return [s for s in self.symbols if any(math.dist(end, p) <= MEETS_MM for p in s.ends)]

    def pin_name(self, end: Point, symbol: Symbol) -> str:
        """The one name beside a terminal, or '' with none or several."""
        down = abs(end[1] - symbol.box.top) < abs(end[1] - symbol.box.bottom)
        low, high = (end[1], end[1] + TERMINAL_MM) if down else (end[1] - TERMINAL_MM, end[1])
        near = []
        for text in self.texts["pin"]:
            box = bounds(text.quad)
            middle = (box.top + box.bottom) / 2
            if BESIDE_MM[0] < box.left - end[0] < BESIDE_MM[1] and low < middle < high:
                near.append(text.text)
        return near[0] if len(near) == 1 else ""

    def caption(self, symbol: Symbol, end: Point) -> str:
        """The bold words nearest to a symbol, its lines put together again; a cap's are light."""
        held = [t for t in self.texts["name"] if t.bold or symbol.kind == "cap"]
        if symbol.kind in CENTRED:
            fed = abs(end[1] - symbol.box.top) < abs(end[1] - symbol.box.bottom)
            held = [
                t
                for t in held
                if abs(_middle(bounds(t.quad)) - _middle(symbol.box)) < LEFT_MM
                and (bounds(t.quad).top > end[1]) == fed
            ]
        near = [(self._away(bounds(t.quad), symbol.box), n) for n, t in enumerate(held)]
        away, nearest = min(near, default=(math.inf, 0))
        if away > CAPTION_MM:
            return ""
        left = bounds(held[nearest].quad).left
        column = sorted(
            (t for t in held if abs(bounds(t.quad).left - left) < LEFT_MM), key=lambda t: t.at.order
        )
        place = column.index(held[nearest])
        first = last = place
        while first > 0 and self._goes_on(column[first - 1], column[first]):
            first -= 1
        while last + 1 < len(column) and self._goes_on(column[last], column[last + 1]):
            last += 1
        return "".join(t.text for t in column[first : last + 1])

    @staticmethod
    def _goes_on(one: Text, other: Text) -> bool:
        """Whether a name breaks at its hyphen into the line right below."""
        down = bounds(other.quad).bottom - bounds(one.quad).bottom
        return one.text.endswith("-") and 0 < down < NEXT_LINE_MM

    @staticmethod
    def _away(a: Bounds, b: Bounds) -> float:
        across = max(a.left - b.right, b.left - a.right, 0.0)
        return math.hypot(across, max(a.top - b.bottom, b.top - a.bottom, 0.0))


def shortened(words: str, whole: str) -> bool:
    """Whether words are the whole name, or its beginning or both its ends with '…' between."""
    if words == whole:
        return True
    start, dots, end = words.partition("…")
    return bool(dots and start and whole.startswith(start.rstrip()) and whole.endswith(end))


def node_of(end: End) -> tuple[str, str]:
    """Kind and name of what a wire's end is to meet."""
    return end.kind, end.node.rsplit("/", 1)[0] if end.kind == "half" else end.node


NUMBER = re.compile(r"sheet (\d+) of")
KINDS = {"splice": "splice", "half": "half", "cap": "capped", "flag": "flag"}


class Net:
    """All sheets of a vehicle's schematics, and what their lines join."""

    def __init__(self, result: Result, sheets: Mapping[str, Iterable[Drawing]]) -> None:
        self.result = result
        self.sheets = {d.name: Sheet(d.name, d.svg) for drawn in sheets.values() for d in drawn}
        self.systems: dict[str, set[str]] = defaultdict(set)
        for system, drawn in sheets.items():
            for d in drawn:
                self.systems[d.name].add(system)
        titles = {d.name: d.title for drawn in sheets.values() for d in drawn}
        self.numbers = {n: int(NUMBER.findall(title)[0]) for n, title in titles.items()}
        self.faults: list[str] = []
        self.met: dict[str, list[Met]] = defaultdict(list)
        """Wire -> what its ends meet, on all sheets."""
        self.labelled: dict[str, list[Drawn]] = defaultdict(list)
        self.going_on: dict[str, list[Drawn]] = defaultdict(list)
        self.flags: dict[str, list[tuple[Sheet, Symbol]]] = defaultdict(list)
        for sheet in self.sheets.values():
            for line in sheet.lines:
                (self.labelled if line.labelled else self.going_on)[line.wire].append(line)
                for end in line.ends:
                    self._note(sheet, line, end)
        for wire in result.harness.wires.values():
            self._judge(wire)
        for name in (self.labelled.keys() | self.going_on.keys()) - result.harness.wires.keys():
            self.faults.append(f"{name}: no such wire")

    def _note(self, sheet: Sheet, line: Drawn, end: Point) -> None:
        at = f"{line.wire} on {sheet.name} at {end[0]:.1f} {end[1]:.1f}"
        symbols = sheet.meets(end)
        if len(symbols) != 1:
            self.faults.append(f"{at} meets {len(symbols)} terminals")
            return
        symbol = symbols[0]
        kind, name = KINDS.get(symbol.kind, "pin"), symbol.of
        if kind == "pin":
            name = self._pin(sheet, symbol, end, at)
        elif not shortened(sheet.caption(symbol, end), name):
            self.faults.append(f"{at}: {kind} {name} is labelled {sheet.caption(symbol, end)!r}")
        if kind == "flag":
            self.flags[name].append((sheet, symbol))
        self.met[line.wire].append(Met(kind, re.sub(r" \(\d+\)$", "", name), symbol))

    def _pin(self, sheet: Sheet, symbol: Symbol, end: Point, at: str) -> str:
        """Id of the pin at an end, by the names that stand there."""
        caption = sheet.caption(symbol, end)
        if not shortened(caption, symbol.of):
            self.faults.append(f"{at}: {symbol.of} is labelled {caption!r}")
        vehicle = self.result.vehicle
        alike = [name for name in vehicle.devices if shortened(caption, name)]
        if len(alike) > 1 and caption not in alike:
            self.faults.append(f"{at}: {caption!r} may be {' or '.join(alike)}")
        if symbol.kind == "stud":
            return symbol.of
        device = vehicle.devices[symbol.of]
        if symbol.kind == "return":
            return device.pins[0].id
        words = sheet.pin_name(end, symbol)
        fitting = [p.id for p in device.pins if shortened(words, p.name)]
        if len(fitting) != 1:
            self.faults.append(f"{at}: {words!r} stands for {len(fitting)} pins of {symbol.of}")
        return fitting[0] if len(fitting) == 1 else ""

    def _judge(self, wire: Wire) -> None:
        """Once, in its own system, between its own two ends, or up to flags that lead on."""
        system = self.result.vehicle.circuits[wire.circuit].system
        drawn, on = self.labelled[wire.id], self.going_on[wire.id]
        if len(drawn) != 1 or len(on) > 1:
            self.faults.append(f"{wire.id}: drawn {len(drawn)} times, going on {len(on)} times")
            return
        if any(system not in self.systems[line.sheet] for line in drawn + on):
            self.faults.append(f"{wire.id}: on a sheet of another system than {system}")
        found = sorted((m.kind, m.name) for m in self.met[wire.id] if m.kind != "flag")
        wanted = sorted(self._wanted(end) for end in (wire.a, wire.b))
        if found != wanted:
            self.faults.append(f"{wire.id}: meets {found}, not {wanted}")
        flags = [m for m in self.met[wire.id] if m.kind == "flag"]
        if len(flags) != 2 * len(on) or any(m.name != wire.id for m in flags):
            self.faults.append(f"{wire.id}: {[m.name for m in flags]} flags on {len(on)} parts")
        elif on:
            self.faults += self._leads(wire.id)

    def _wanted(self, end: End) -> tuple[str, str]:
        kind, node = node_of(end)
        if kind == "pin":
            pin = self.result.vehicle.pins[node]
            device = self.result.vehicle.devices[pin.device]
            return kind, device.pins[0].id if device.kind == "ground" else node
        if kind == "capped":
            cables = self.result.vehicle.description.cables
            screens = {cable.screen: name for name, cable in cables.items()}
            circuit = self.result.harness.wires[node.removesuffix(".cap")].circuit
            return kind, f"screen of {screens[circuit]}, capped" if circuit in screens else "capped"
        return kind, node

    def _leads(self, wire: str) -> Iterator[str]:
        """Each of a wire's two flags names sheet, or 'here', and zone of the other.

        An arrow with the number of the page that it stands on sends its reader nowhere.
        """
        for (sheet, symbol), (there, other) in (self.flags[wire], self.flags[wire][::-1]):
            says = self._reference(sheet, symbol)
            zones = self._reference_zones(there, other)
            wanted = {
                (f"here {zone}", "", zone)
                if there.name == sheet.name
                else (f"sheet {self.numbers[there.name]} {zone}", there.name, zone)
                for zone in zones
            }
            if (
                says is None
                or (says.text, says.at.said("data-sheet"), says.at.said("data-zone")) not in wanted
            ):
                yield f"{wire} on {sheet.name}: says {says and says.text!r}, not {sorted(wanted)}"

    def _reference(self, sheet: Sheet, symbol: Symbol) -> Text | None:
        found = [
            t
            for t in sheet.texts["name"]
            if t.at.said("data-zone") and sheet._away(bounds(t.quad), symbol.box) < CAPTION_MM
        ]
        return min(found, key=lambda t: sheet._away(bounds(t.quad), symbol.box), default=None)

    def _reference_zones(self, sheet: Sheet, symbol: Symbol) -> set[str]:
        """Border zone of the words at a flag; both where they stand on the line between two."""
        text = self._reference(sheet, symbol)
        if text is None:
            return set()
        box, near = bounds(text.quad), (-INK_MM, INK_MM)
        x, y = _middle(box), (box.top + box.bottom) / 2
        size = (sheet.scene.width, sheet.scene.height)
        return {zone_of(x + dx, y + dy, *size) for dx in near for dy in near}

    def joined(self) -> set[frozenset[str]]:
        """Pins that the drawn lines join, through splices, contacts and flags."""
        near: dict[str, set[str]] = defaultdict(set)
        for wire, met in self.met.items():
            nodes = [f"{m.kind} {m.name}" for m in met if m.kind not in ("flag", "capped")]
            for one, other in pairwise([f"wire {wire}", *nodes]):
                near[one].add(other)
                near[other].add(one)
        return _pins_joined(near)


def _pins_joined(near: Mapping[str, set[str]]) -> set[frozenset[str]]:
    seen: set[str] = set()
    found = set()
    for start in near:
        if start in seen:
            continue
        mine, queue = {start}, [start]
        while queue:
            for other in near[queue.pop()] - mine:
                mine.add(other)
                queue.append(other)
        seen |= mine
        found.add(frozenset(n.removeprefix("pin ") for n in mine if n.startswith("pin ")))
    return found


def written(result: Result) -> set[frozenset[str]]:
    """Pins that the circuits of the description join; circuits that share a stud are one."""
    near: dict[str, set[str]] = defaultdict(set)
    for id_, circuit in result.vehicle.circuits.items():
        for pin in circuit.pins:
            device = result.vehicle.devices[pin.device]
            name = device.pins[0].id if device.kind == "ground" else pin.id
            near[f"circuit {id_}"].add(f"pin {name}")
            near[f"pin {name}"].add(f"circuit {id_}")
    return _pins_joined(near)


def end_faults(result: Result, sheets: Mapping[str, Iterable[Drawing]]) -> list[str]:
    """Everything that is wrong about where the wires of all schematics end."""
    net = Net(result, sheets)
    faults = list(net.faults)
    drawn, wanted = net.joined(), written(result)
    faults += [f"joined but not written: {sorted(n)}" for n in sorted(drawn - wanted, key=sorted)]
    faults += [f"written but not joined: {sorted(n)}" for n in sorted(wanted - drawn, key=sorted)]
    return faults

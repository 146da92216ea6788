"""The elements of a schematic, made from the wires of its systems, and the links between them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from buildbook.drawing.faces.panel import name_of as panel_name
from buildbook.drawing.schematic.captions import (
    caption_of,
    closings,
    load_uses,
    loads_left_out,
    not_fitted,
)
from buildbook.drawing.schematic.controller_blocks import PIN_FOOTPRINT, pin_element
from buildbook.drawing.schematic.device_elements import device_element, groups_of, symbols_inside
from buildbook.drawing.schematic.element import (
    BLOCKS,
    LINE_SPACING_MM,
    Element,
    InnerSymbol,
    PinPlace,
)
from buildbook.drawing.schematic.elsewhere import drawn_elsewhere
from buildbook.drawing.schematic.footprints import footprint_of
from buildbook.drawing.schematic.layout_model import PIN, Grid, Link, Port
from buildbook.drawing.schematic.pin_edges import PinEdges, node_of
from buildbook.drawing.shared.lettering import SMALL_MM, text_width_mm
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Device
from buildbook.words.say import in_figures, say

MOST_PINS = 6
"""Wires of one splice, contact or capped end drawn in one place on each edge."""


def wires_of(result: Sized, system: str) -> list[Wire]:
    """The wires of a system's circuits, in their order."""
    circuits = result.vehicle.circuits
    return [w for w in result.harness.wires.values() if circuits[w.circuit].system == system]


def label_of(result: Sized, wire: Wire) -> tuple[str, str]:
    """Two lines: number and size ('204b 0.5', mm2 unless it says AWG), and colour."""
    sizing = result.sizing.wires.get(wire.id)
    size = result.vehicle.measures.bare_size(sizing.label) if sizing else ""
    return f"{wire.id} {size}".strip(), wire.colour


class SystemElements:
    """Systems drawn together: elements, the room that each takes, and the links between them."""

    def __init__(self, result: Sized, systems: tuple[str, ...], wires: list[Wire]) -> None:
        self.result, self.systems, self.wires = result, systems, wires
        self.labels = {w.id: label_of(result, w) for w in wires}
        width = max(text_width_mm(t, SMALL_MM) for pair in self.labels.values() for t in pair)
        self.grid = Grid(width + 2.2, 2 * LINE_SPACING_MM, width)
        self.wired: dict[str, list[str]] = defaultdict(list)
        self.devices: dict[str, list[str]] = defaultdict(list)
        for wire in wires:
            for end in (wire.a, wire.b):
                if end.kind == "pin":
                    self._note_pin(end.node, wire.id)
        self.supply = {
            result.vehicle.pins[source.plus_pin].device: (source.plus_pin, source.minus_pin)
            for source in reversed(result.vehicle.supply.sources)
        }
        inside = {d: symbols_inside(self._device(d), self.supply.get(d)) for d in self.devices}
        self.edges = PinEdges(result.vehicle, wires, inside)
        self.elements: dict[str, Element] = {}
        self._make_devices()
        self._make_joints()
        self._make_blocks()
        self.links = self._links()
        self.footprints = {
            k: replace(PIN_FOOTPRINT, key=k) if e.kind == PIN else footprint_of(e, self.grid.pitch)
            for k, e in self.elements.items()
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
        """The system that a device belongs to, where that is another one that draws it too."""
        wire_at, wires = self.result.harness.wire_at, self.result.harness.wires
        met = {
            self.result.vehicle.circuits[wires[wire].circuit].system
            for pin in device.pins
            for wire in wire_at.get(pin.id, ())
        }
        there = "" if device.system in self.systems else device.system
        return say("in {system}", system=there) if there in met else ""

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
            elsewhere = drawn_elsewhere(self.result, device, set(pins), self.systems)
            wired = {pin: self.wired[pin] for pin in pins}
            parts = groups_of(device, self.edges.inside[id_], wired)
            for n, (inside, wires) in enumerate(parts):
                key = f"device {id_} {n}"
                words, top = self._caption(device, inside, not n), self.edges.top
                self.elements[key] = device_element(
                    key, device, inside, wires, top, words, elsewhere
                )

    def _caption(self, device: Device, inside: list[InnerSymbol], first: bool) -> tuple[str, ...]:
        """Name and title, a fuse's rating, and when the contacts drawn here are closed.

        Beside its `first` part also what has no symbol in any.
        """
        fuse = self.result.sizing.fuses.get(device.id)
        rating = in_figures(f"{fuse.rating_a:g} A ") if fuse else ""
        title = f"{rating}{device.title}".strip()
        more = not_fitted(device) + closings(device, inside) + load_uses(device, inside)
        if first and self.edges.inside[device.id]:
            drawn = {part.id for part in self.edges.inside[device.id]}
            more += loads_left_out(device, drawn)
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
        self.elements[key] = Element(
            key,
            "return" if ground else "stud",
            (name,),
            device,
            tops=[(0, pin, wire)],
            continues_at=(panel_name(device), "") if feeds else ("", ""),
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
            if node.startswith("half "):
                self._even(ports)
            self._make_joint(node, ports)

    def _make_joint(self, node: str, ports: dict[bool, list[str]]) -> None:
        """One joint, in several places where it has more wires than MOST_PINS."""
        kind, name = node.split(" ", 1)
        words = self._cap_words(ports) if kind == "capped" else name
        most = max(len(ports[True]), len(ports[False]))
        for place, n in enumerate(range(0, most, MOST_PINS)):
            tops, bottoms = (
                [(float(c), "", w) for c, w in enumerate(ports[top][n : n + MOST_PINS])]
                for top in (True, False)
            )
            key = f"{node}#{place}"
            self.elements[key] = Element(
                key,
                "cap" if kind == "capped" else kind,
                (f"{words} ({place + 1})" if most > MOST_PINS else words,),
                tops=tops,
                bottoms=bottoms,
                harnesses=self._harnesses(tops, bottoms),
            )

    def _harnesses(self, *edges: list[PinPlace]) -> tuple[str, str]:
        """Harness of the first wire above and of the first below."""
        above, below = (self.result.harness.wires[e[0][2]].harness if e else "" for e in edges)
        return above, below

    def _cap_words(self, ports: dict[bool, list[str]]) -> str:
        wire = self.result.harness.wires[(ports[True] + ports[False])[0]]
        cable = self.result.vehicle.description.cables.get(wire.cable)
        if cable and cable.screen == wire.circuit:
            return say("screen of {cable}, capped", cable=wire.cable)
        return say("capped")

    def _even(self, ports: dict[bool, list[str]]) -> None:
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
                    self.elements[key] = pin_element(key, device, pin, wire, pin in self.edges.top)

    def block_caption(self, id_: str) -> tuple[str, ...]:
        """The lines beside the block of a controller or display."""
        device = self._device(id_)
        return caption_of(id_, device.title, self._elsewhere(device), not_fitted(device))

    def _links(self) -> list[Link]:
        """Every wire, from the port at its one end to the port at its other."""
        ports: dict[tuple[str, str], Port] = {}
        for key, element in self.elements.items():
            for top in (True, False):
                for column, pin, wire in element.edge(top):
                    node = f"pin {pin}" if pin else key.split("#")[0]
                    ports.setdefault((node, wire), Port(key, top, column))
        return [
            Link(w.id, ports[node_of(w.a), w.id], ports[node_of(w.b), w.id]) for w in self.wires
        ]

    def beside_cores(self) -> tuple[list[tuple[str, str]], set[str]]:
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

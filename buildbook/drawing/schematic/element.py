"""What a schematic is made of: parts of devices, grounds, splices, contacts, caps; their pins."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace

from buildbook.drawing.schematic.elsewhere import DrawnElsewhere
from buildbook.drawing.schematic.layout_model import Port
from buildbook.drawing.symbols.common import Symbol
from buildbook.vehicle.model import Device, Pin

PIN_MM = 3.4
"""Height of the plug symbol and pin number at the edge of a device."""
LINE_SPACING_MM = 2.95
"""Distance between lines of small text."""
BLOCKS = ("controller", "display")
"""Kinds of devices drawn as one block on each sheet."""
PinPlace = tuple[float, str, str]
"""Column, pin id or '', and wire id or '' where nothing is wired here."""
SheetZone = tuple[str, str]
"""A drawing, '' for the same one, and the border zone on it where something is drawn."""


@dataclass(frozen=True)
class InnerSymbol:
    """A load, contact or bond drawn between two pins of a device."""

    id: str
    top: str
    bottom: str
    symbol: Symbol


@dataclass
class Element:
    """What a schematic draws in one place: a part of a device, a joint or an end of a wire.

    Columns count from 0.
    """

    key: str
    kind: str
    caption: tuple[str, ...]
    device: Device | None = None
    inside: list[InnerSymbol] = field(default_factory=list)
    tops: list[PinPlace] = field(default_factory=list)
    bottoms: list[PinPlace] = field(default_factory=list)
    columns: dict[str, int] = field(default_factory=dict)
    """Inner symbol -> column."""
    elsewhere: dict[str, DrawnElsewhere] = field(default_factory=dict)
    """Pin -> what is there that the sheet does not draw."""
    drawn_at: dict[str, SheetZone] = field(default_factory=dict)
    """Pin -> where that is drawn."""
    harnesses: tuple[str, str] = ("", "")
    """Of a contact between two harnesses: the one above and the one below."""
    detail: int = 0
    """What is beside a block: 1 where it is fed and grounded, 2 also a sensor's pins that are
    drawn elsewhere; 3 also, inside it, what its pins are for."""
    supplied_at: tuple[tuple[str, SheetZone], ...] = ()
    """Of a block: 'feed' and 'ground', each with where such a pin is drawn."""
    continues_at: SheetZone = ("", "")
    """Of a flag: where its wire goes on; of a bus bar's stud: where what it feeds is drawn."""

    @property
    def width(self) -> float:
        """Columns that it takes."""
        used = [c for c, _, _ in self.tops + self.bottoms] + list(self.columns.values())
        return max(used, default=0) + 1

    @property
    def of(self) -> str:
        """What it stands for: a device's or splice's id, a stud's pin, a contact, a wire."""
        return self.device.id if self.device and self.kind != "stud" else self.caption[0]

    def joining_bars(self, top: bool) -> list[str]:
        """Pins of one edge that need a joining bar, in order."""
        ports: dict[str, set[float]] = defaultdict(set)
        for column, pin, _ in self.edge(top):
            ports[pin].add(column)
        for symbol in self.inside:
            ports[symbol.top if top else symbol.bottom].add(self.columns[symbol.id])
        return [pin for pin, columns in ports.items() if len(columns) > 1]

    def edge(self, top: bool) -> list[PinPlace]:
        """The pins of the upper edge, or of the lower one."""
        return self.tops if top else self.bottoms

    def pin(self, id_: str) -> Pin | None:
        """The pin of its device by that id."""
        pins = self.device.pins if self.device else ()
        return next((pin for pin in pins if pin.id == id_), None)


def is_block(device: Device) -> bool:
    """True for what is drawn as a box with pins: controllers, and sensors of several parts."""
    return device.kind in BLOCKS or (device.kind == "sensor" and len(device.loads) > 1)


def with_columns(element: Element, columns: dict[Port, float]) -> Element:
    """The element with its wires in the columns that the layout chose."""
    edges = [
        [(columns.get(Port(element.key, top, c), c), pin, wire) for c, pin, wire in ports]
        for top, ports in ((True, element.tops), (False, element.bottoms))
    ]
    return replace(element, tops=edges[0], bottoms=edges[1])

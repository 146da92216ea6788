"""Connector faces: every plug and pass-through half, from its wire side and its mating side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildbook.description.models import Plug
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import (
    NORMAL_MM,
    SMALL_MM,
    fitted,
    label_box,
    text_width_mm,
    wrapped,
)
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.wire import swatch
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.faces import cavity_places
from buildbook.vehicle.model import Connector

WIDTH_MM = 170.0
LINE_MM = 2.9
RING_MM = 2.2
"""Radius of a drawn cavity."""
ROOM_MM = WIDTH_MM - 12.0
"""Widest shell: its keyway may stand on either side."""
GAP_MM = 4.0
"""Between the two views."""
ABOVE_MM = 13.5
"""Heading, side and keyway over a shell."""
BELOW_MM = 2.4
"""A keyway under a shell, and a gap."""
TALLEST_MM = 240.0
"""Two views one above the other are no higher: the page has words too."""

NARROWEST_MM = 46.0
TAB_MM = 1.6
"""How far a keyway or a latch stands out of the shell."""
KEYWAY_MM = 6.0
LATCH_MM = 11.0
"""Most lengths along the shell: where both are on one side, the latch reaches past the keyway."""
RINGS_EDGE_MM = 0.8
"""Between the lettering and the shell of a round connector."""


@dataclass(frozen=True)
class Cell:
    """How a cavity is lettered: box around its centre, lines below it, and which lines."""

    width: float
    above: float
    below: float
    style: str
    """level (id and letters below), upright (the same read upwards), bare (cavity only), narrow
    (cavity read upwards), within (cavity in its ring)."""
    ring: float = RING_MM

    def box(self, x: float, y: float) -> Box:
        return Box(x - self.width / 2, y - self.above, self.width, self.above + self.below)


def mirrored(side: str, mating: bool) -> str:
    """Where a side of the shell, named as seen from the wire side, stands in a view."""
    return {"left": "right", "right": "left"}.get(side, side) if mating else side


def wires_in(result: Result, connector: Connector) -> dict[str, Wire]:
    """Cavity -> the wire in it."""
    found: dict[str, Wire] = {}
    for pin in connector.pins:
        for wire_id in result.harness.wire_at.get(pin.id, ()):
            found[pin.cavity or pin.name] = result.harness.wires[wire_id]
    return found


def _cells(places: dict, wires: dict[str, Wire]) -> list[Cell]:
    """Letterings to try from the wire side, fullest first."""
    cavity = _widest(places)
    texts = [t for wire in wires.values() for t in (wire.id, wire.colour)]
    wide = max((text_width_mm(t, SMALL_MM) for t in texts), default=2.0)
    above, ring = RING_MM + 3.4, 2 * RING_MM
    return [
        Cell(max(cavity, wide, ring) + 1.4, above, RING_MM + 2 * LINE_MM + 1.0, "level"),
        Cell(max(cavity, 2 * LINE_MM, ring) + 0.8, above, RING_MM + wide + 1.6, "upright"),
        Cell(max(cavity, ring) + 0.6, above, RING_MM + 0.6, "bare"),
        _narrow(places),
        _within(places),
    ]


def _mating_cells(places: dict) -> list[Cell]:
    """Letterings to try from the mating side, the smallest first: it names cavities alone."""
    return [_within(places), _narrow(places)]


def _within(places: dict) -> Cell:
    ring = max(1.9, math.hypot(_widest(places) / 2, 0.36 * SMALL_MM) + 0.5)
    return Cell(2 * ring + 0.4, ring + 0.2, ring + 0.2, "within", ring)


def _narrow(places: dict) -> Cell:
    return Cell(3.5, 1.5 + _widest(places) + 1.8, 2.1, "narrow", 1.5)


def _widest(places: dict) -> float:
    return max((text_width_mm(c, SMALL_MM, True) for c in places), default=2.0)


def _pitch(places: dict[str, tuple[float, float]], cell: Cell) -> tuple[float, float]:
    """Smallest pitch across and down at which no two cells overlap."""
    points = list(places.values())
    if all(abs(y - round(y)) < 1e-9 and abs(2 * x - round(2 * x)) < 1e-9 for x, y in points):
        return cell.width, cell.above + cell.below
    if cell.style == "within":
        nearest = min(math.dist(a, b) for i, a in enumerate(points) for b in points[:i])
        return cell.width / nearest, cell.width / nearest
    need = 0.0
    for i, (ax, ay) in enumerate(points):
        for bx, by in points[:i]:
            dx, dy = abs(ax - bx), abs(ay - by)
            across = cell.width / dx if dx > 1e-9 else math.inf
            down = (cell.above + cell.below) / dy if dy > 1e-9 else math.inf
            need = max(need, min(across, down))
    return need + 0.01, need + 0.01


@dataclass(frozen=True)
class Shell:
    """Outline of a connector around its lettered cavities, in mm about the cavities' origin."""

    box: Box
    radius: float
    """Of the corners; half the width for a round shell."""
    aside: float
    """Kept free left and right of it for a keyway."""


def _shell(plug: Plug, boxes: list[Box]) -> Shell:
    """A rounded rectangle for rows; for rings a circle about the middle that holds every label."""
    aside = 2.0 if {plug.keyway, plug.latch} & {"left", "right"} else 0.3
    if plug.rings:
        corners = [(x, y) for b in boxes for x in (b.x, b.right) for y in (b.y, b.bottom)]
        middle = (min(b.y for b in boxes) + max(b.bottom for b in boxes)) / 2
        r = max(math.hypot(x, y - middle) for x, y in corners) + RINGS_EDGE_MM
        return Shell(Box(-r, middle - r, 2 * r, 2 * r), r, aside)
    left, top = min(b.x for b in boxes), min(b.y for b in boxes)
    wide, high = max(b.right for b in boxes) - left, max(b.bottom for b in boxes) - top
    return Shell(Box(left - 1.0, top - 1, wide + 2, high + 2), 1.5, aside)


@dataclass(frozen=True)
class View:
    """One side of a connector, laid out."""

    mating: bool
    cell: Cell
    centres: dict[str, tuple[float, float]]
    """Cavity -> its centre, mm about the cavities' origin."""
    shell: Shell

    @property
    def width(self) -> float:
        """Of the shell with its keyway, or of the words over it."""
        words = max(text_width_mm(word, NORMAL_MM, True) for word in self.words)
        return max(self.shell.box.w + 2 * self.shell.aside, words)

    @property
    def height(self) -> float:
        """Of the shell with its keyway and the words over it."""
        return ABOVE_MM + self.shell.box.h + BELOW_MM

    @property
    def words(self) -> tuple[str, str]:
        return "Seen from the", "MATING SIDE" if self.mating else "WIRE SIDE"


def _views(plug: Plug, mating: bool, cells: list[Cell], room_mm: float) -> list[View]:
    """The view in every lettering whose shell goes into the room; squeezed where none does."""
    places = cavity_places(plug, mating)
    fitting = [
        view
        for cell in cells
        if (view := _view(plug, mating, cell, *_pitch(places, cell))).shell.box.w <= room_mm
    ]
    if fitting:
        return fitting
    cell = cells[-1]
    if plug.rings:
        reach = math.hypot(cell.width / 2, max(cell.above, cell.below)) + RINGS_EDGE_MM
        pitch = (room_mm / 2 - reach) / max(math.hypot(*p) for p in places.values())
        return [_view(plug, mating, cell, pitch, pitch)]
    xs = [x for x, _ in places.values()]
    across = (room_mm - cell.width) / max(max(xs) - min(xs), 1.0)
    return [_view(plug, mating, cell, across, cell.above + cell.below)]


def _view(plug: Plug, mating: bool, cell: Cell, across: float, down: float) -> View:
    """One side with its cavities so far apart."""
    places = cavity_places(plug, mating)
    centres = {c: (x * across, y * down) for c, (x, y) in places.items()}
    boxes = [cell.box(x, y) for x, y in centres.values()] or [cell.box(0, 0)]
    return View(mating, cell, centres, _shell(plug, boxes))


@dataclass(frozen=True)
class Sides:
    """Both views of a connector on one drawing, and where the second begins."""

    wire: View
    mating: View
    left: float
    top: float

    @property
    def width(self) -> float:
        right = max(self.wire.width, self.left + self.mating.width)
        return right - min(0.0, self.left)

    @property
    def height(self) -> float:
        return max(self.wire.height, self.top + self.mating.height)

    @property
    def fits(self) -> bool:
        return self.width <= WIDTH_MM - 4 + 1e-6 and self.height <= TALLEST_MM


def _both(plug: Plug, wires: dict[str, Wire]) -> Sides:
    """The views beside each other, tucked in or one above the other: fullest lettering first."""
    places = cavity_places(plug)
    mating = _views(plug, True, _mating_cells(places), ROOM_MM)[0]
    cells = _cells(places, wires)
    for wire in _views(plug, False, cells, ROOM_MM):
        ways = [Sides(wire, mating, wire.width + GAP_MM, 0.0), _stacked(wire, mating)]
        if plug.rings:
            ways.insert(1, _tucked(wire, mating))
        for sides in ways:
            if sides.fits:
                return sides
    room = TALLEST_MM - mating.height - ABOVE_MM - BELOW_MM
    return _stacked(_views(plug, False, cells[-1:], min(room, ROOM_MM))[0], mating)


def _stacked(wire: View, mating: View) -> Sides:
    return Sides(wire, mating, (wire.width - mating.width) / 2, wire.height - 2.0)


def _tucked(wire: View, mating: View) -> Sides:
    """The mating side of a round connector in the corner that the wire side leaves."""
    left, top = WIDTH_MM - 4 - mating.width, 0.0
    centre, radius = (wire.width / 2, ABOVE_MM + wire.shell.radius), wire.shell.radius + GAP_MM
    while top < wire.height:
        words = Box(left, top + ABOVE_MM - 9.0, mating.width, 9.0)
        reach = mating.shell.radius
        middle = (left + mating.width / 2, top + ABOVE_MM + reach)
        near = (
            min(max(centre[0], words.x), words.right),
            min(max(centre[1], words.y), words.bottom),
        )
        if math.dist(centre, near) > radius and math.dist(centre, middle) > radius + reach:
            break
        top += 1.0
    return Sides(wire, mating, left, top)


def _write_cavity(
    canvas: Canvas, x: float, y: float, cavity: str, wire: Wire | None, cell: Cell, sealed: bool
) -> None:
    """A cavity from the wire side: the wire in it, or that it is empty or plugged."""
    within = cell.style == "within"
    if wire:
        swatch(canvas, x, y, cell.ring, wire.colour)
    else:
        reach = cell.ring * (1.0 if within else 0.8)
        canvas.circle(x, y, reach, 0.18, fill="#ffffff", class_="empty")
        if sealed:
            _cross(canvas, x, y, reach)
    _write_name(canvas, x, y, cavity, cell)
    if wire and cell.style == "level":
        canvas.text(x, y + RING_MM + 2.5, wire.id, anchor="middle")
        canvas.text(x, y + RING_MM + 2.5 + LINE_MM, wire.colour, anchor="middle")
    elif wire and cell.style == "upright":
        foot = y + RING_MM + 0.8
        canvas.text(x - 0.3, foot, wire.id, anchor="end", turned=True)
        canvas.text(x - 0.3 + LINE_MM, foot, wire.colour, anchor="end", turned=True)


def _cross(canvas: Canvas, x: float, y: float, reach: float) -> None:
    """A blank in a cavity, from rim to rim."""
    aside = reach * math.sqrt(0.5)
    for sign in (1, -1):
        ends = [(x - aside, y - sign * aside), (x + aside, y + sign * aside)]
        canvas.line(ends, 0.35, class_="plugged")


def _write_name(canvas: Canvas, x: float, y: float, cavity: str, cell: Cell) -> None:
    """A cavity's name in its ring, or over it where it is free."""
    if cell.style == "within":
        canvas.text(x, y + 0.93, cavity, anchor="middle", bold=True, halo=True, class_="cavity")
        return
    turned = cell.style == "narrow"
    base = (x + 0.9, y - cell.ring - 0.9) if turned else (x, y - cell.ring - 0.9)
    anchor = "start" if turned else "middle"
    if canvas.is_free(label_box(*base, cavity, anchor=anchor, bold=True, turned=turned), 0):
        canvas.text(*base, cavity, anchor=anchor, bold=True, turned=turned, class_="cavity")


def _write_contact(
    canvas: Canvas, x: float, y: float, cavity: str, there: bool, cell: Cell
) -> None:
    """A cavity from the mating side: a heavy ring where a terminal looks out of it."""
    weight, name = (0.6, "contact") if there else (0.13, "hole")
    canvas.circle(x, y, cell.ring, weight, fill="#ffffff", class_=name)
    _write_name(canvas, x, y, cavity, cell)


def _draw_view(
    canvas: Canvas,
    connector: Connector,
    view: View,
    wires: dict[str, Wire],
    left: float,
    top: float,
) -> None:
    """One side with the words that say which; its box begins at left, top."""
    plug, shell = connector.plug, view.shell
    middle = left + view.width / 2
    side, which = view.words
    canvas.text(middle, top + 7.4, side, NORMAL_MM, "middle")
    canvas.text(middle, top + 10.8, which, NORMAL_MM, "middle", bold=True)
    frame = Box(middle - shell.box.w / 2, top + ABOVE_MM, shell.box.w, shell.box.h)
    canvas.rect(frame, 0.5, radius=shell.radius, class_="shell")
    if plug.latch:
        _tab(canvas, frame, mirrored(plug.latch, view.mating), LATCH_MM, "#ffffff", "latch")
    _tab(canvas, frame, mirrored(plug.keyway, view.mating), KEYWAY_MM, "#000000", "keyway")
    for cavity, (x, y) in view.centres.items():
        px, py = x - shell.box.x + frame.x, y - shell.box.y + frame.y
        wire = wires.get(cavity)
        if view.mating:
            _write_contact(canvas, px, py, cavity, wire is not None, view.cell)
        else:
            _write_cavity(canvas, px, py, cavity, wire, view.cell, plug.sealed)


def _tab(canvas: Canvas, shell: Box, side: str, most_mm: float, fill: str, class_: str) -> None:
    """What stands out of a side of the shell, in its middle: a bar as long as there is room."""
    mid_x, mid_y = shell.x + shell.w / 2, shell.y + shell.h / 2
    upright = side in ("left", "right")
    long = min(most_mm, (shell.h if upright else shell.w) * most_mm / LATCH_MM * 0.7)
    spots = {
        "top": Box(mid_x - long / 2, shell.y - TAB_MM, long, TAB_MM),
        "bottom": Box(mid_x - long / 2, shell.bottom, long, TAB_MM),
        "left": Box(shell.x - TAB_MM, mid_y - long / 2, TAB_MM, long),
        "right": Box(shell.right, mid_y - long / 2, TAB_MM, long),
    }
    canvas.rect(spots[side], 0.25, fill=fill, class_=class_)


def _legend(used: int, plug: Plug) -> str:
    cavities = len(cavity_places(plug))
    parts = [f"{used} of {cavities} cavities used", "black bar: keyway"]
    if plug.latch:
        parts.append("open bar: latch")
    if used:
        parts.append("heavy ring: terminal")
    if used < cavities:
        parts.append(
            "crossed: blank, fit a sealing plug" if plug.sealed else "small and hollow: empty"
        )
    return "; ".join(parts)


def face(result: Result, connector: Connector) -> Drawing:
    """One connector from both sides, at most 170 mm wide."""
    wires = wires_in(result, connector)
    sides = _both(connector.plug, wires)
    width = max(sides.width + 4.0, NARROWEST_MM)
    legend = wrapped(_legend(len(wires), connector.plug), SMALL_MM, width - 4, 4)
    canvas = Canvas(width, sides.height + 2.0 + LINE_MM * len(legend))
    canvas.text(2, 3.4, _heading(connector, width - 4), NORMAL_MM, bold=True)
    left = (width - sides.width) / 2 - min(0.0, sides.left)
    _draw_view(canvas, connector, sides.wire, wires, left, 0.0)
    _draw_view(canvas, connector, sides.mating, wires, left + sides.left, sides.top)
    for n, line in enumerate(legend):
        canvas.text(2, sides.height + 1.6 + n * LINE_MM, line)
    name = f"face-{connector.id.replace('/', '-')}"
    return canvas.drawing(name, f"{connector.id}: from the wire side and from the mating side")


def _heading(connector: Connector, width_mm: float) -> str:
    """Connector, what it is and its type; without what it is where that goes over the width."""
    title, plug = connector.title, f", plug {connector.plug_type}"
    full = f"{connector.id}  {title}{plug}"
    if not title or title == connector.id or text_width_mm(full, NORMAL_MM, True) > width_mm:
        return fitted(connector.id + plug, NORMAL_MM, width_mm, True)
    return full


def faces(result: Result) -> dict[str, Drawing]:
    """Connector id -> its face from both sides; both halves of pass-throughs included."""
    return {c.id: face(result, c) for c in result.harness.connectors.values()}

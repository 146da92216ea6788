"""Connector faces: every plug and pass-through half as seen from the wire side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildbook.description.models import Plug
from buildbook.drawing.model import Drawing
from buildbook.drawing.sheet import (
    GREY,
    NORMAL_MM,
    SMALL_MM,
    Box,
    Canvas,
    fitted,
    label_box,
    text_width_mm,
)
from buildbook.drawing.wire import swatch
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.faces import cavity_places
from buildbook.vehicle.model import Connector

WIDTH_MM = 170.0
LINE_MM = 2.9
RING_MM = 2.2
"""Radius of a drawn cavity."""
ROOM_MM = WIDTH_MM - 21.0
"""Width left for the shell, with the words of a keyway on either side."""

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
    (cavity read upwards)."""
    ring: float = RING_MM

    def box(self, x: float, y: float) -> Box:
        return Box(x - self.width / 2, y - self.above, self.width, self.above + self.below)


def mirrored_keyway(plug: Plug, mating: bool) -> str:
    """Side on which the keyway stands in the view."""
    if mating and plug.keyway in ("left", "right"):
        return "right" if plug.keyway == "left" else "left"
    return plug.keyway


def wires_in(result: Result, connector: Connector) -> dict[str, Wire]:
    """Cavity -> the wire in it."""
    found: dict[str, Wire] = {}
    for pin in connector.pins:
        for wire_id in result.harness.wire_at.get(pin.id, ()):
            found[pin.cavity or pin.name] = result.harness.wires[wire_id]
    return found


def _cells(places: dict, wires: dict[str, Wire]) -> list[Cell]:
    """Letterings to try, fullest first."""
    cavity = max((text_width_mm(c, SMALL_MM, True) for c in places), default=2.0)
    texts = [t for wire in wires.values() for t in (wire.id, wire.colour)]
    wide = max((text_width_mm(t, SMALL_MM) for t in texts), default=2.0)
    above, ring = RING_MM + 3.4, 2 * RING_MM
    return [
        Cell(max(cavity, wide, ring) + 1.4, above, RING_MM + 2 * LINE_MM + 1.0, "level"),
        Cell(max(cavity, 2 * LINE_MM, ring) + 0.8, above, RING_MM + wide + 1.6, "upright"),
        Cell(max(cavity, ring) + 0.6, above, RING_MM + 0.6, "bare"),
        Cell(3.5, 1.5 + cavity + 1.8, 2.1, "narrow", 1.5),
    ]


def _pitch(places: dict[str, tuple[float, float]], cell: Cell) -> tuple[float, float]:
    """Smallest pitch across and down at which no two cells overlap."""
    points = list(places.values())
    if all(abs(y - round(y)) < 1e-9 and abs(2 * x - round(2 * x)) < 1e-9 for x, y in points):
        return cell.width, cell.above + cell.below
    need = 0.0
    for i, (ax, ay) in enumerate(points):
        for bx, by in points[:i]:
            dx, dy = abs(ax - bx), abs(ay - by)
            across = cell.width / dx if dx > 1e-9 else math.inf
            down = (cell.above + cell.below) / dy if dy > 1e-9 else math.inf
            need = max(need, min(across, down))
    return need + 0.01, need + 0.01


def _fitting(
    plug: Plug, places: dict[str, tuple[float, float]], wires: dict[str, Wire]
) -> tuple[Cell, float, float]:
    """The fullest lettering whose face is no wider than the sheet."""
    xs = [x for x, _ in places.values()] or [0.0]
    span = max(xs) - min(xs)
    for cell in _cells(places, wires):
        across, down = _pitch(places, cell)
        boxes = [cell.box(x * across, y * down) for x, y in places.values()]
        if _shell(plug, boxes or [cell.box(0, 0)]).box.w <= ROOM_MM:
            break
    else:
        across = (ROOM_MM - cell.width) / max(span, 1.0)
        if plug.rings:
            reach = math.hypot(cell.width / 2, max(cell.above, cell.below)) + RINGS_EDGE_MM
            across = down = (ROOM_MM / 2 - reach) / max(math.hypot(*p) for p in places.values())
    return cell, across, down


def _write_cavity(
    canvas: Canvas, x: float, y: float, cavity: str, wire: Wire | None, cell: Cell, sealed: bool
) -> None:
    turned = cell.style == "narrow"
    base = (x + 0.9, y - cell.ring - 0.9) if turned else (x, y - cell.ring - 0.9)
    anchor = "start" if turned else "middle"
    if canvas.is_free(label_box(*base, cavity, anchor=anchor, bold=True, turned=turned), 0):
        canvas.text(*base, cavity, anchor=anchor, bold=True, turned=turned, class_="cavity")
    if wire is None:
        canvas.circle(x, y, cell.ring * 0.8, 0.18, fill="#ffffff", class_="empty")
        if sealed:
            reach = 0.8 * cell.ring * math.sqrt(0.5)
            for sign in (1, -1):
                ends = [(x - reach, y - sign * reach), (x + reach, y + sign * reach)]
                canvas.line(ends, 0.35, class_="plugged")
        return
    swatch(canvas, x, y, cell.ring, wire.colour)
    if cell.style == "level":
        canvas.text(x, y + RING_MM + 2.5, wire.id, anchor="middle")
        canvas.text(x, y + RING_MM + 2.5 + LINE_MM, wire.colour, anchor="middle")
    elif cell.style == "upright":
        foot = y + RING_MM + 0.8
        canvas.text(x - 0.3, foot, wire.id, anchor="end", turned=True)
        canvas.text(x - 0.3 + LINE_MM, foot, wire.colour, anchor="end", turned=True)


def _keyway(canvas: Canvas, shell: Box, side: str, ring: bool) -> None:
    """The keyway as a black notch on the shell; the word stands beside it."""
    word = "keyway" if ring else "keyway, latch side"
    mid_x, mid_y = shell.x + shell.w / 2, shell.y + shell.h / 2
    width = min(8.0, shell.w / 2, shell.h / 2)
    spots = {
        "top": (Box(mid_x - width / 2, shell.y - 1.6, width, 1.6),
                (mid_x + width / 2 + 1.2, shell.y - 1.0, "start", False)),
        "bottom": (Box(mid_x - width / 2, shell.bottom, width, 1.6),
                   (mid_x + width / 2 + 1.2, shell.bottom + 2.5, "start", False)),
        "left": (Box(shell.x - 1.6, mid_y - width / 2, 1.6, width),
                 (shell.x - 2.4, mid_y, "middle", True)),
        "right": (Box(shell.right, mid_y - width / 2, 1.6, width),
                  (shell.right + 4.6, mid_y, "middle", True)),
    }  # fmt: skip
    box, (x, y, anchor, turned) = spots[side]
    canvas.rect(box, 0.25, fill="#000000", class_="keyway")
    canvas.text(x, y, word, anchor=anchor, turned=turned, colour=GREY)


def _legend(used: int, cavities: int, sealed: bool, cell: Cell) -> str:
    parts = [f"{used} of {cavities} cavities used"]
    if used < cavities:
        parts.append("crossed: blank, fit a sealing plug" if sealed else "small and hollow: empty")
    if used and cell.style in ("level", "upright"):
        parts.append("with each: wire, colour")
    return "; ".join(parts)


@dataclass(frozen=True)
class Shell:
    """Outline of a connector around its lettered cavities, in mm about the cavities' origin."""

    box: Box
    radius: float
    """Of the corners; half the width for a round shell."""


def _shell(plug: Plug, boxes: list[Box]) -> Shell:
    """A rounded rectangle for rows; for rings a circle about the middle that holds every label."""
    if plug.rings:
        corners = [(x, y) for b in boxes for x in (b.x, b.right) for y in (b.y, b.bottom)]
        middle = (min(b.y for b in boxes) + max(b.bottom for b in boxes)) / 2
        r = max(math.hypot(x, y - middle) for x, y in corners) + RINGS_EDGE_MM
        return Shell(Box(-r, middle - r, 2 * r, 2 * r), r)
    left, top = min(b.x for b in boxes), min(b.y for b in boxes)
    wide, high = max(b.right for b in boxes) - left, max(b.bottom for b in boxes) - top
    return Shell(Box(left - 1.5, top - 1, wide + 3, high + 2), 1.5)


def face(result: Result, connector: Connector, mating: bool = False) -> Drawing:
    """One connector's face, at most 170 mm wide; `mating` turns it round."""
    plug = connector.plug
    places = cavity_places(plug, mating)
    wires = wires_in(result, connector)
    cell, across, down = _fitting(plug, places, wires)
    centres = {c: (x * across, y * down) for c, (x, y) in places.items()}
    shell = _shell(plug, [cell.box(x, y) for x, y in centres.values()] or [cell.box(0, 0)])
    legend = _legend(len(wires), len(places), plug.sealed, cell)
    view = f"Seen from the {'MATING' if mating else 'WIRE'} SIDE, plug {connector.plug_type}"
    heading = _heading(connector)
    lettering = max(
        text_width_mm(heading, NORMAL_MM, True), text_width_mm(view, NORMAL_MM),
        text_width_mm(legend, SMALL_MM), 2 * (6.2 + 24.0),
    )  # fmt: skip
    width = min(WIDTH_MM, max(shell.box.w + 12.0, lettering + 4.5))
    canvas = Canvas(width, shell.box.h + 21.0)
    frame = Box((width - shell.box.w) / 2, 13.5, shell.box.w, shell.box.h)
    canvas.text(2, 3.4, fitted(heading, NORMAL_MM, width - 4, True), NORMAL_MM, bold=True)
    canvas.text(2, 7.4, fitted(view, NORMAL_MM, width - 4), NORMAL_MM)
    canvas.rect(frame, 0.5, radius=shell.radius, class_="shell")
    _keyway(canvas, frame, mirrored_keyway(plug, mating), bool(plug.rings))
    for cavity, (x, y) in centres.items():
        px, py = x - shell.box.x + frame.x, y - shell.box.y + frame.y
        _write_cavity(canvas, px, py, cavity, wires.get(cavity), cell, plug.sealed)
    canvas.text(2, canvas.height - 1.6, fitted(legend, SMALL_MM, width - 4))
    name = f"{'mating' if mating else 'face'}-{connector.id.replace('/', '-')}"
    side = "mating side" if mating else "wire side"
    return canvas.drawing(name, f"{connector.id}: seen from the {side}")


def _heading(connector: Connector) -> str:
    same = not connector.title or connector.title == connector.id
    return connector.id if same else f"{connector.id}  {connector.title}"


def faces(result: Result) -> dict[str, Drawing]:
    """Connector id -> its face from the wire side, both halves of pass-throughs included."""
    return {c.id: face(result, c) for c in result.harness.connectors.values()}

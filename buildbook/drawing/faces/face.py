"""Connector faces: every plug and pass-through half, from its wire side and its mating side."""

from __future__ import annotations

import math
from collections.abc import Mapping

from buildbook.description.models import Plug
from buildbook.drawing.faces.views import (
    LINE_MM,
    RING_MM,
    TAB_MM,
    Lettering,
    View,
    sides_of,
)
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import (
    NORMAL_MM,
    SMALL_MM,
    label_box,
    text_width_mm,
    wrapped,
)
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.wire import swatch
from buildbook.harness.model import Wire
from buildbook.sizing.stage import Sized
from buildbook.vehicle.faces import cavity_places
from buildbook.vehicle.model import Connector
from buildbook.words.say import say

NARROWEST_MM = 40.0
KEYWAY_MM = 6.0
LATCH_MM = 11.0
"""Most lengths along the shell: where both are on one side, the latch reaches past the keyway."""


def side_in(side: str, mirrored: bool) -> str:
    """Where a side of the shell, named as the type is written, stands in a view."""
    return {"left": "right", "right": "left"}.get(side, side) if mirrored else side


def wires_in(result: Sized, connector: Connector) -> dict[str, Wire]:
    """Cavity -> the wire in it."""
    found: dict[str, Wire] = {}
    for pin in connector.pins:
        for wire_id in result.harness.wire_at.get(pin.id, ()):
            found[pin.cavity or pin.name] = result.harness.wires[wire_id]
    return found


def _write_cavity(
    canvas: Canvas,
    x: float,
    y: float,
    cavity: str,
    wire: Wire | None,
    lettering: Lettering,
    sealed: bool,
    data: Mapping[str, str],
) -> None:
    """A cavity from the wire side: the wire in it, or that it is empty or plugged.

    `data` are more attributes of its ring.
    """
    within = lettering.style == "within"
    if wire:
        swatch(canvas, x, y, lettering.ring, wire.colour, data=data)
    else:
        reach = lettering.ring * (1.0 if within else 0.8)
        canvas.circle(x, y, reach, 0.18, fill="#ffffff", class_="empty", data=data)
        if sealed:
            _cross(canvas, x, y, reach)
    _write_name(canvas, x, y, cavity, lettering)
    if wire and lettering.style == "level":
        canvas.text(x, y + RING_MM + 2.5, wire.id, anchor="middle")
        canvas.text(x, y + RING_MM + 2.5 + LINE_MM, wire.colour, anchor="middle")
    elif wire and lettering.style == "upright":
        foot = y + RING_MM + 0.8
        canvas.text(x - 0.3, foot, wire.id, anchor="end", turned=True)
        canvas.text(x - 0.3 + LINE_MM, foot, wire.colour, anchor="end", turned=True)


def _cross(canvas: Canvas, x: float, y: float, reach: float) -> None:
    """A blank in a cavity, from rim to rim."""
    aside = reach * math.sqrt(0.5)
    for sign in (1, -1):
        ends = [(x - aside, y - sign * aside), (x + aside, y + sign * aside)]
        canvas.line(ends, 0.35, class_="plugged")


def _write_name(canvas: Canvas, x: float, y: float, cavity: str, lettering: Lettering) -> None:
    """A cavity's name in its ring, or over it where it is free."""
    if lettering.style == "within":
        canvas.text(x, y + 0.93, cavity, anchor="middle", bold=True, halo=True, class_="cavity")
        return
    turned = lettering.style == "narrow"
    base = (x + 0.9, y - lettering.ring - 0.9) if turned else (x, y - lettering.ring - 0.9)
    anchor = "start" if turned else "middle"
    if canvas.is_free(label_box(*base, cavity, anchor=anchor, bold=True, turned=turned), 0):
        canvas.text(*base, cavity, anchor=anchor, bold=True, turned=turned, class_="cavity")


def _write_contact(
    canvas: Canvas,
    x: float,
    y: float,
    cavity: str,
    there: bool,
    lettering: Lettering,
    data: Mapping[str, str],
) -> None:
    """A cavity from the mating side: a heavy ring where a terminal looks out of it.

    `data` are more attributes of its ring.
    """
    weight, name = (0.6, "contact") if there else (0.13, "hole")
    canvas.circle(x, y, lettering.ring, weight, fill="#ffffff", class_=name, data=data)
    _write_name(canvas, x, y, cavity, lettering)


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
    _write_side(canvas, view, middle, top)
    frame = Box(middle - shell.box.w / 2, top + view.above, shell.box.w, shell.box.h)
    canvas.rect(frame, 0.5, radius=shell.radius, class_="shell")
    if plug.latch:
        _tab(canvas, frame, side_in(plug.latch, view.mirrored), LATCH_MM, "#ffffff", "latch")
    _tab(canvas, frame, side_in(plug.keyway, view.mirrored), KEYWAY_MM, "#000000", "keyway")
    pins = {pin.cavity or pin.name: pin.id for pin in connector.pins}
    for cavity, (x, y) in view.centres.items():
        data = {"data-pin": pins[cavity]} if cavity in pins else {}
        px, py = x - shell.box.x + frame.x, y - shell.box.y + frame.y
        wire = wires.get(cavity)
        if view.mating:
            _write_contact(canvas, px, py, cavity, wire is not None, view.lettering, data)
        else:
            _write_cavity(canvas, px, py, cavity, wire, view.lettering, plug.sealed, data)


def _write_side(canvas: Canvas, view: View, middle: float, top: float) -> None:
    """The words that say which side it is, in one line or two."""
    side, which = view.words
    if not view.lined:
        canvas.text(middle, top + 2.8, side, NORMAL_MM, "middle")
        canvas.text(middle, top + 6.2, which, NORMAL_MM, "middle", bold=True)
        return
    apart, wide = text_width_mm(f"{side} ", NORMAL_MM), text_width_mm(which, NORMAL_MM, True)
    start = middle - (apart + wide) / 2
    canvas.text(start, top + 2.8, side, NORMAL_MM)
    canvas.text(start + apart, top + 2.8, which, NORMAL_MM, bold=True)


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
    """How many cavities are used and how the others are drawn, where not all are; pages say once
    what bars mean."""
    cavities = len(cavity_places(plug))
    if used == cavities:
        return ""
    others = (
        say("crossed: blank, fit a sealing plug") if plug.sealed else say("small and hollow: empty")
    )
    counts = say("{used} of {cavities} cavities used", used=used, cavities=cavities)
    return f"{counts}; {others}"


def face(result: Sized, connector: Connector) -> Drawing:
    """One connector from both sides, at most 170 mm wide."""
    wires = wires_in(result, connector)
    sides = sides_of(connector, wires)
    width = max(sides.width + 1.0, NARROWEST_MM)
    said = _legend(len(wires), connector.plug)
    legend = wrapped(said, SMALL_MM, width - 4, 4) if said else []
    canvas = Canvas(width, sides.height + (1.0 + LINE_MM * len(legend) if legend else 0.0))
    left = (width - sides.width) / 2 - min(0.0, sides.left)
    _draw_view(canvas, connector, sides.wire, wires, left, 0.0)
    _draw_view(canvas, connector, sides.mating, wires, left + sides.left, sides.top)
    for n, line in enumerate(legend):
        canvas.text(2, sides.height + 2.6 + n * LINE_MM, line)
    name = f"face-{connector.id.replace('/', '-')}"
    said = say("{plug}: from the wire side and from the mating side", plug=connector.id)
    return canvas.drawing(name, said)


def faces(result: Sized) -> BySubject:
    """Connector id -> its face from both sides; both halves of pass-throughs included."""
    connectors = result.harness.connectors
    return BySubject(connectors, lambda id_: (face(result, connectors[id_]),))

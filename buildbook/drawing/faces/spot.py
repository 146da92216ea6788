"""Small pictures of one place: a fuse's blade on its panel, a relay's terminal, a plug's cavity."""

from __future__ import annotations

from html import escape

from buildbook.description.models import Plug
from buildbook.drawing.shared.model import Drawing
from buildbook.vehicle.faces import cavity_places
from buildbook.words.say import say

PITCH_MM, HOLE_MM, EDGE_MM = 2.0, 1.4, 1.2
MOST_MM = 24.0
"""Width that a line of an opening leaves for its picture."""
SLOT_MM = (2.6, 3.4)
"""A fuse on a panel, wide and high."""
LETTER_MM = 2.9
"""Height of type: 8.2 points, to be read by torchlight."""
TERMINAL_MM = (5.6, 4.0)
BAR_MM = 4.0
"""Length of the bar that marks a keyway."""


def plug_spot(name: str, plug: Plug, cavity: str, turned: bool = False) -> Drawing:
    """A plug type from the wire side with one cavity filled, its keyway a bar on the shell."""
    places = cavity_places(plug, turned)
    xs, ys = ([at[axis] for at in places.values()] for axis in (0, 1))
    across, down = max(xs) - min(xs), max(ys) - min(ys)
    pitch = min(PITCH_MM, (MOST_MM - HOLE_MM - 2 * EDGE_MM) / max(across, 1.0))
    hole = HOLE_MM * pitch / PITCH_MM
    width, height = (span * pitch + hole + 2 * EDGE_MM for span in (across, down))
    side: str = plug.keyway
    if turned:
        side = {"left": "right", "right": "left"}.get(side, side)
    parts = [_frame(width, height), _bar(side, width, height)]
    for name_there, (x, y) in places.items():
        left = EDGE_MM + (x - min(xs)) * pitch
        top = EDGE_MM + (y - min(ys)) * pitch
        fill = "#000000" if name_there == cavity else "none"
        if name_there == cavity:
            left, top, size = left - 0.25, top - 0.25, hole + 0.5
        else:
            size = hole
        parts.append(_box(left, top, size, size, fill, 0.2))
    half = " turned" if turned else ""
    return _drawing(
        f"spot-{name}-{cavity}{half}",
        say("{plug}, cavity {cavity}, wire side", plug=name, cavity=cavity),
        parts,
        width,
        height,
    )


def fuse_spot(panel: str, columns: int, count: int, place: int, blade: str) -> Drawing:
    """A panel's fuses in their rows, one of them marked: its upper blade is in, its lower out."""
    wide, high = SLOT_MM
    rows = -(-count // columns)
    width, height = columns * (wide + 0.5) + 0.9, rows * (high + 0.7) + 0.9
    parts = [_frame(width, height)]
    for n in range(count):
        left, top = 0.7 + n % columns * (wide + 0.5), 0.8 + n // columns * (high + 0.7)
        parts.append(_box(left, top, wide, high, "none", 0.15))
        if n == place:
            down = 0.0 if blade == "in" else high / 2
            parts.append(_box(left, top + down, wide, high / 2, "#000000", 0.3))
    return _drawing(
        f"spot-{panel}-{place}-{blade}", say("where on the panel"), parts, width, height
    )


def relay_spot(terminals: tuple[str, ...], terminal: str) -> Drawing:
    """A relay's terminals in a row as they are moulded beside its blades, one of them filled."""
    wide, high = TERMINAL_MM
    width, height = len(terminals) * wide + 0.6, high + 0.6
    parts = [_frame(width, height)]
    for n, name in enumerate(terminals):
        here = name == terminal
        left, ink = 0.3 + n * wide, "#ffffff" if here else "#000000"
        parts.append(_box(left, 0.3, wide, high, "#000000" if here else "none", 0.2))
        parts.append(
            f'<text x="{left + wide / 2:.2f}" y="{0.3 + high / 2 + 0.36 * LETTER_MM:.2f}" '
            f'font-family="Roboto" font-size="{LETTER_MM}" fill="{ink}" '
            f'text-anchor="middle">{escape(name)}</text>'
        )
    shown = "-".join(terminals)
    return _drawing(
        f"spot-relay-{shown}-{terminal}",
        say("foot {terminal}", terminal=terminal),
        parts,
        width,
        height,
    )


def _bar(side: str, width: float, height: float) -> str:
    x, y, w, h = {
        "top": (width / 2 - BAR_MM / 2, 0.0, BAR_MM, 0.9),
        "bottom": (width / 2 - BAR_MM / 2, height - 0.9, BAR_MM, 0.9),
        "left": (0.0, height / 2 - BAR_MM / 2, 0.9, BAR_MM),
        "right": (width - 0.9, height / 2 - BAR_MM / 2, 0.9, BAR_MM),
    }[side]
    return _box(x, y, w, h, "#000000", 0.0)


def _frame(width: float, height: float) -> str:
    return _box(0.15, 0.15, width - 0.3, height - 0.3, "none", 0.25)


def _box(x: float, y: float, width: float, height: float, fill: str, stroke: float) -> str:
    line = f'stroke="#000000" stroke-width="{stroke}"' if stroke else 'stroke="none"'
    return (
        f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" '
        f'fill="{fill}" {line}/>'
    )


def _drawing(name: str, title: str, parts: list[str], width: float, height: float) -> Drawing:
    size = f'width="{width:.2f}mm" height="{height:.2f}mm"'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} '
        f'viewBox="0 0 {width:.2f} {height:.2f}">{"".join(parts)}</svg>'
    )
    safe = "".join(c if c.isalnum() or c in "-." else "_" for c in name)
    return Drawing(safe, title, svg, width, height)

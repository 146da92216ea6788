"""One hole to drill: its circle and cross, and the face of the connector that fills it."""

from __future__ import annotations

from buildbook.bench.drilling import DrillHole
from buildbook.drawing.faces.face import side_in
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.vehicle.faces import cavity_places

DASHED = {"stroke-dasharray": "1.5 1"}
DOT_MM = 0.6
DOTS_SHARE = 0.62
"""Of the hole's radius, that the cavities take: how large the face is is not told."""


def draw_hole(canvas: Canvas, x: float, y: float, radius: float, hole: DrillHole) -> None:
    """A circle where a drill goes, with its centre; without a diameter the centre alone."""
    data = {"data-hole": str(hole.number)}
    if hole.across_mm is not None:
        canvas.circle(x, y, radius, 0.35, class_="hole", data=data)
    arm = radius + 1.5
    canvas.line([(x - arm, y), (x + arm, y)], 0.18, class_="centre")
    canvas.line([(x, y - arm), (x, y + arm)], 0.18, class_="centre")
    canvas.block(Box(x - arm, y - 0.3, 2 * arm, 0.6))
    canvas.block(Box(x - 0.3, y - arm, 0.6, 2 * arm))


def draw_face(canvas: Canvas, x: float, y: float, radius: float, hole: DrillHole) -> None:
    """The face of a pass-through as it is seen looking forward: key, cavities and shell."""
    if hole.through is None or hole.across_mm is None:
        return
    plug = hole.through.plug
    mirrored = bool(hole.near and hole.near.turned)
    places = cavity_places(plug, mirrored)
    xs, ys = [p[0] for p in places.values()], [p[1] for p in places.values()]
    mid = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    far = max(((px - mid[0]) ** 2 + (py - mid[1]) ** 2) ** 0.5 for px, py in places.values()) or 1.0
    pitch = DOTS_SHARE * radius / far
    if pitch > 3 * DOT_MM:
        for px, py in places.values():
            canvas.circle(
                x + (px - mid[0]) * pitch,
                y + (py - mid[1]) * pitch,
                DOT_MM,
                0.13,
                colour=GREY,
                class_="cavity",
            )
    if plug.shell is not None and 500 * plug.shell < radius:
        canvas.circle(x, y, 500 * plug.shell, 0.18, colour=GREY, class_="shell", data=DASHED)
    _draw_key(canvas, x, y, radius, side_in(plug.keyway, mirrored))


def _draw_key(canvas: Canvas, x: float, y: float, radius: float, side: str) -> None:
    """A bar inside the hole on the side of the key."""
    dx, dy = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}[side]
    mx, my = x + dx * (radius - 2.2), y + dy * (radius - 2.2)
    wide, deep = (6.0, 1.6) if dy else (1.6, 6.0)
    canvas.rect(Box(mx - wide / 2, my - deep / 2, wide, deep), 0.25, "#000000", class_="keyway")

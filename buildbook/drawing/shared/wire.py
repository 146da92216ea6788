"""A wire's colour as ink: body colour, tracer stripe and hex values for screen and printer."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from svgwrite.base import BaseElement

from buildbook.catalogue.load import colours
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import INK, Canvas
from buildbook.drawing.shared.crossing import Crossing

WIRE_MM = 1.0
"""Width of a wire drawn as a line, with its outline."""
BODY_MM = 0.68
TRACER_MM = 0.26
TRACER_DASH = "2.4 1.2"
SAME_MM = 1e-6
GAP_MM = 2.0
"""Length of the white across a wire where it passes over another."""
LEAST_MM = WIRE_MM / 2 + 0.25
"""Half of that beside an end of the other."""
CRUMB_MM = 0.8
"""Least length of the other's stretch that is left beside the white."""

Point = tuple[float, float]


def ink_of(code: str) -> str:
    """Hex value of one IEC 60757 letter code; grey where the code is not in the catalogue."""
    colour = colours().get(code)
    return colour[1] if colour else "#999999"


def swatch(
    canvas: Canvas,
    x: float,
    y: float,
    r: float,
    code: str,
    class_: str = "wire",
    data: Mapping[str, str] | None = None,
) -> None:
    """A wire end of radius `r` mm: filled with the body colour, tracer as a band across it.

    `code` is IEC 60757, 'RD' or body and tracer 'RD/WH'; `data` are more attributes of the end.
    """
    body, _, tracer = code.partition("/")
    canvas.circle(x, y, r, 0.35, fill=ink_of(body), class_=class_, data=data)
    if not tracer:
        return
    half = 0.24 * r
    reach = math.sqrt(r * r - half * half)
    u = math.sqrt(0.5)
    corners = [(-reach, -half), (reach, -half), (reach, half), (-reach, half)]
    turned = [(x + u * (a + b), y + u * (b - a)) for a, b in corners]
    d = "M " + " L ".join(f"{round(px, 3)} {round(py, 3)}" for px, py in turned) + " Z"
    canvas.path(d, 0.18, fill=ink_of(tracer))


def drawn_wire(
    canvas: Canvas, points: Sequence[tuple[float, float]], code: str, into: BaseElement
) -> None:
    """A wire as a line: outline, body colour, and the tracer as a broken stripe along it.

    Every wire has one width, and the outline keeps white ones and grey prints visible.
    """
    body, _, tracer = code.partition("/")
    canvas.line(points, WIRE_MM, into=into, class_="core")
    canvas.line(points, BODY_MM, ink_of(body), into=into)
    if tracer:
        canvas.line(points, TRACER_MM, ink_of(tracer), TRACER_DASH, into=into)


def passed_over(
    canvas: Canvas, points: Sequence[Point], crossing: Crossing, code: str, into: BaseElement
) -> None:
    """A level wire once more where it crosses an upright one, with white on both sides of it.

    Its tracer goes on in step with the rest of the wire. There is less white towards an end of
    the upright stretch that is near, so that no crumb of it stands alone.
    """
    (x, y), (body, _, tracer) = crossing.at, code.partition("/")
    half = GAP_MM / 2
    up, down = (
        min(half, max(LEAST_MM, reach - WIRE_MM / 2 - CRUMB_MM))
        for reach in (y - crossing.top, crossing.foot - y)
    )
    clear = Box(x - WIRE_MM / 2 - 0.05, y - up, WIRE_MM + 0.1, up + down)
    canvas.rect(clear, 0.0, "#ffffff", "none", into=into)
    strokes = [
        (WIRE_MM, INK, x - half + 0.1, x + half - 0.1),
        (BODY_MM, ink_of(body), x - half, x + half),
    ]
    strokes += [
        (TRACER_MM, ink_of(tracer), start, end)
        for start, end in (_strokes_over(points, crossing.at) if tracer else ())
    ]
    for wide, colour, start, end in strokes:
        canvas.line([(start, y), (end, y)], wide, colour, into=into, cap="butt")


def _strokes_over(points: Sequence[Point], at: Point) -> Iterator[tuple[float, float]]:
    """From and to, mm across, of the strokes of a tracer within a gap's width about a place."""
    on, off = (float(part) for part in TRACER_DASH.split())
    along, way = _along(points, at)
    cap, half = TRACER_MM / 2, GAP_MM / 2
    for n in range(int((along - half) // (on + off)), int((along + half) // (on + off)) + 1):
        first = max(n * (on + off) - cap, along - half)
        last = min(n * (on + off) + on + cap, along + half)
        if last > first:
            ends = sorted((at[0] + way * (first - along), at[0] + way * (last - along)))
            yield ends[0], ends[1]


def _along(points: Sequence[Point], at: Point) -> tuple[float, int]:
    """Way along a line to a place on a level stretch of it, mm, and 1 where it goes right there."""
    gone = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        if (
            abs(ay - at[1]) < SAME_MM
            and abs(by - at[1]) < SAME_MM
            and min(ax, bx) <= at[0] <= max(ax, bx)
        ):
            return gone + abs(at[0] - ax), 1 if bx > ax else -1
        gone += math.dist((ax, ay), (bx, by))
    raise ValueError(f"{at} is on no level stretch")

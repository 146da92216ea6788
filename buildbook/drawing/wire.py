"""A wire's colour as ink: body colour, tracer stripe and hex values for screen and printer."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildbook.catalogue.load import colours
from buildbook.drawing.sheet import INK, Box, Canvas

WIRE_MM = 1.0
"""Width of a wire drawn as a line, with its outline."""
BODY_MM = 0.68
TRACER_MM = 0.26
TRACER_DASH = "2.4 1.2"
GAP_MM = 2.0
"""Width of the white on both sides of a wire where it passes over another."""


def ink_of(code: str) -> str:
    """Hex value of one IEC 60757 letter code; grey where the code is not in the catalogue."""
    colour = colours().get(code)
    return colour[1] if colour else "#999999"


def swatch(canvas: Canvas, x: float, y: float, r: float, code: str, class_: str = "wire") -> None:
    """A wire end of radius `r` mm: filled with the body colour, tracer as a band across it.

    `code` is IEC 60757, 'RD' or body and tracer 'RD/WH'.
    """
    body, _, tracer = code.partition("/")
    canvas.circle(x, y, r, 0.35, fill=ink_of(body), class_=class_)
    if not tracer:
        return
    half = 0.24 * r
    reach = math.sqrt(r * r - half * half)
    u = math.sqrt(0.5)
    corners = [(-reach, -half), (reach, -half), (reach, half), (-reach, half)]
    turned = [(x + u * (a + b), y + u * (b - a)) for a, b in corners]
    d = "M " + " L ".join(f"{round(px, 3)} {round(py, 3)}" for px, py in turned) + " Z"
    canvas.path(d, 0.18, fill=ink_of(tracer))


def drawn_wire(canvas: Canvas, points: Sequence[tuple[float, float]], code: str, into) -> None:
    """A wire as a line: outline, body colour, and the tracer as a broken stripe along it.

    Every wire has one width, and the outline keeps white ones and grey prints visible.
    """
    body, _, tracer = code.partition("/")
    canvas.line(points, WIRE_MM, into=into, class_="core")
    canvas.line(points, BODY_MM, ink_of(body), into=into)
    if tracer:
        canvas.line(points, TRACER_MM, ink_of(tracer), TRACER_DASH, into=into)


def passed_over(canvas: Canvas, at: tuple[float, float], code: str, into) -> None:
    """A level wire once more where it crosses an upright one, with white on both sides of it."""
    (x, y), body = at, code.partition("/")[0]
    for wide, high, fill in ((WIRE_MM + 0.1, GAP_MM, "#ffffff"), (GAP_MM, WIRE_MM, INK),
                             (GAP_MM + 0.1, BODY_MM, ink_of(body))):  # fmt: skip
        canvas.rect(Box(x - wide / 2, y - high / 2, wide, high), 0.0, fill, "none", into=into)

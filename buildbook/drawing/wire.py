"""A wire's colour as ink: body colour, tracer stripe and hex values for screen and printer."""

from __future__ import annotations

import math

from buildbook.catalogue.load import colours
from buildbook.drawing.sheet import Canvas


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

"""Strokes of a switch worked by hand."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM
from buildbook.drawing.symbols.relay import make_contact


def switch(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Switch worked by hand: a make contact with its actuator."""
    make_contact(canvas, into, x, y)
    canvas.line([(x - 1.2, y + 4.1), (x - 3.4, y + 4.1)], 0.25, dash="0.7 0.5", into=into)
    canvas.line([(x - 3.4, y + 3.1), (x - 3.4, y + 5.1)], STROKE_MM, into=into)

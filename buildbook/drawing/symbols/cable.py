"""Strokes that tell wires of one cable: a screen around them, a twist across them."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas


def screen(canvas: Canvas, into: BaseElement, box: Box) -> None:
    """Screen around the wires in the box: a dashed oval."""
    canvas.rect(box, 0.25, dash="1 0.7", radius=min(box.w, box.h) / 2, into=into)


def twist(canvas: Canvas, into: BaseElement, left: float, right: float, y: float) -> None:
    """Twisted conductors: a slanted stroke across them."""
    canvas.line([(left - 0.95, y + 0.6), (right + 0.95, y - 0.6)], 0.35, into=into)

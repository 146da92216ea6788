"""Strokes of a relay: its coil, what protects that, and its make and break contacts."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM, SYMBOL_MM, leads


def relay_coil(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Operating coil of a relay: a box across the path."""
    leads(canvas, into, x, y, 2.6, 5.4)
    canvas.rect(Box(x - 2.5, y + 2.6, 5, 2.8), STROKE_MM, into=into)


def suppressing_diode(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Diode across a coil: blocks downwards, passes upwards when the coil lets go."""
    canvas.line([(x, y), (x, y + SYMBOL_MM)], STROKE_MM, into=into)
    canvas.line(
        [(x - 1.5, y + 5.2), (x + 1.5, y + 5.2), (x, y + 2.8), (x - 1.5, y + 5.2)],
        STROKE_MM,
        into=into,
    )
    canvas.line([(x - 1.5, y + 2.8), (x + 1.5, y + 2.8)], STROKE_MM, into=into)


def make_contact(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Make contact, open at rest."""
    leads(canvas, into, x, y, 2.2, 6.0)
    canvas.line([(x, y + 6.0), (x - 2.2, y + 2.4)], STROKE_MM, into=into)


def break_contact(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Break contact, closed at rest."""
    leads(canvas, into, x, y, 2.2, 6.0)
    canvas.line([(x, y + 6.0), (x + 1.5, y + 1.8)], STROKE_MM, into=into)
    canvas.line([(x, y + 2.2), (x + 1.8, y + 2.2)], STROKE_MM, into=into)

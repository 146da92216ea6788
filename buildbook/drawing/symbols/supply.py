"""Strokes of what gives current and guards it: battery, generator, converter, fuse."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM, SYMBOL_MM, leads, machine, write_letter


def battery(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Battery of cells: long plate plus, short plate minus."""
    leads(canvas, into, x, y, 2.4, 5.4)
    for step, half in ((2.4, 2.6), (3.4, 1.3), (4.4, 2.6), (5.4, 1.3)):
        canvas.line([(x - half, y + step), (x + half, y + step)], STROKE_MM, into=into)
    write_letter(canvas, into, x - 2.0, y + 0.6, "+")


generator = machine("G")


def converter(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Converter of one voltage to another: a square with its diagonal (IEC 60617)."""
    leads(canvas, into, x, y, 1.5, 6.5)
    canvas.rect(Box(x - 2.5, y + 1.5, 5, 5), STROKE_MM, into=into)
    canvas.line([(x - 2.5, y + 6.5), (x + 2.5, y + 1.5)], STROKE_MM, into=into)


def fuse(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Fuse: a box with the line through it."""
    canvas.rect(Box(x - 1.2, y + 1.5, 2.4, 5), STROKE_MM, into=into)
    canvas.line([(x, y), (x, y + SYMBOL_MM)], STROKE_MM, into=into)

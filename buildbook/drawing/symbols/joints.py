"""Strokes of joints and of ends of wires: bond, junction, ground, stud, plug, cap."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM, SYMBOL_MM


def bond(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """A plain joint inside a device."""
    canvas.line([(x, y), (x, y + SYMBOL_MM)], 0.5, into=into)


def ground(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Frame or chassis."""
    canvas.line([(x, y), (x, y + 1.6)], STROKE_MM, into=into)
    canvas.line([(x - 2.2, y + 1.6), (x + 2.2, y + 1.6)], 0.5, into=into)
    for step in (-2.2, 0, 2.2):
        canvas.line([(x + step, y + 1.6), (x + step - 1.1, y + 3.2)], 0.25, into=into)


def dot(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Junction."""
    canvas.circle(x, y, 0.55, 0.1, fill="#000000", into=into)


def plug_and_socket(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """A connector contact mated in the path, 2.6 mm high: socket arc over pin."""
    canvas.line([(x, y), (x, y + 0.5)], STROKE_MM, into=into)
    canvas.path(f"M {x - 1:.3f} {y + 1.6:.3f} a 1 1.1 0 0 1 2 0", STROKE_MM, into=into)
    canvas.line([(x, y + 1.0), (x, y + 2.6)], 0.7, into=into)


def cap(canvas: Canvas, into: BaseElement, x: float, y: float, sign: int = 1) -> None:
    """A wire end insulated with nothing on it; `sign` is -1 where the wire comes from below."""
    canvas.line([(x, y), (x, y + sign * 1.2)], STROKE_MM, into=into)
    turn = 0 if sign > 0 else 1
    canvas.path(
        f"M {x - 0.9:.3f} {y + sign * 0.6:.3f} v {sign * 1.6:.1f} "
        f"a 0.9 0.9 0 0 {turn} 1.8 0 v {-sign * 1.6:.1f}",
        STROKE_MM,
        into=into,
    )


def stud(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Terminal stud: an open circle."""
    canvas.circle(x, y + 0.9, 0.9, STROKE_MM, fill="#ffffff", into=into)

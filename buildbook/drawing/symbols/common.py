"""What symbols share: their size and stroke, the leads at both ends, a letter inside."""

from __future__ import annotations

from collections.abc import Callable

from svgwrite.base import BaseElement

from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM

SYMBOL_MM = 8.0
"""Height of every two-terminal symbol between its terminals."""
STROKE_MM = 0.35

Symbol = Callable[[Canvas, BaseElement, float, float], None]


def leads(canvas: Canvas, into: BaseElement, x: float, y: float, top: float, bottom: float) -> None:
    """The leads of a symbol whose body reaches from `top` to `bottom` below y."""
    canvas.line([(x, y), (x, y + top)], STROKE_MM, into=into)
    canvas.line([(x, y + bottom), (x, y + SYMBOL_MM)], STROKE_MM, into=into)


def write_letter(canvas: Canvas, into: BaseElement, x: float, y: float, text: str) -> None:
    """A letter inside a symbol, its middle at (x, y)."""
    canvas.text(x, y + 0.95, text, SMALL_MM, "middle", into=into, class_="symbol", record=False)


def machine(letter: str) -> Symbol:
    """Machine: a circle with its letter, M of a motor and G of a generator."""

    def draw(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
        leads(canvas, into, x, y, 1.1, 6.9)
        canvas.circle(x, y + 4, 2.9, STROKE_MM, into=into)
        write_letter(canvas, into, x, y + 4, letter)

    return draw

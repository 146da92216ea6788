"""Strokes of a sensor, with the letter of what it senses."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM, Symbol, leads, write_letter
from buildbook.drawing.symbols.loads import resistor

_LETTERS = {
    "ntc": "ϑ",
    "platinum": "ϑ",
    "thermocouple": "ϑ",
    "pressure": "p",
    "hall": "n",
    "inductive": "n",
    "knock": "K",
    "position": "s",
    "switch": "S",
    "speed": "v",
}
"""Letter inside a sensor's square by what it senses (quantity symbols of ISO 80000)."""


def letter_of(senses: str | None) -> str:
    """The letter inside a sensor's square."""
    return _LETTERS.get(senses or "", "S")


def sensor(senses: str | None) -> Symbol:
    """Sensor: a square with the letter of the quantity; resistive ones carry the slanted line."""

    def draw(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
        if senses in ("ntc", "platinum"):
            resistor(canvas, into, x, y)
            canvas.line([(x - 2.4, y + 6.2), (x + 2.2, y + 1.8)], 0.25, into=into)
            canvas.line([(x - 2.4, y + 6.2), (x - 3.6, y + 6.2)], 0.25, into=into)
            return
        leads(canvas, into, x, y, 1.5, 6.5)
        canvas.rect(Box(x - 2.5, y + 1.5, 5, 5), STROKE_MM, into=into)
        write_letter(canvas, into, x, y + 4, letter_of(senses))

    return draw

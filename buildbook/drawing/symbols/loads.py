"""Strokes of what takes current: resistor, heater, lamp, motor, solenoid, ignition coil, horn."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.symbols.common import STROKE_MM, leads, machine


def resistor(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Resistor; a plain load."""
    leads(canvas, into, x, y, 1.5, 6.5)
    canvas.rect(Box(x - 1.1, y + 1.5, 2.2, 5), STROKE_MM, into=into)


def heater(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Heating element: a resistor with bars across."""
    resistor(canvas, into, x, y)
    for step in (2.75, 4.0, 5.25):
        canvas.line([(x - 1.1, y + step), (x + 1.1, y + step)], 0.25, into=into)


def lamp(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Lamp: a circle with a cross."""
    leads(canvas, into, x, y, 1.5, 6.5)
    canvas.circle(x, y + 4, 2.5, STROKE_MM, into=into)
    for sign in (-1, 1):
        canvas.line(
            [(x - 1.77, y + 4 - sign * 1.77), (x + 1.77, y + 4 + sign * 1.77)], STROKE_MM, into=into
        )


motor = machine("M")


def solenoid(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Winding: four half circles."""
    leads(canvas, into, x, y, 1.2, 6.8)
    arcs = " ".join("a 0.7 0.7 0 0 1 0 1.4" for _ in range(4))
    canvas.path(f"M {x:.3f} {y + 1.2:.3f} {arcs}", STROKE_MM, into=into)


def ignition_coil(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Two windings with a core between and the spark gap's arrow."""
    solenoid(canvas, into, x, y)
    canvas.line([(x + 1.4, y + 1.2), (x + 1.4, y + 6.8)], 0.5, into=into)
    arcs = " ".join("a 0.7 0.7 0 0 0 0 1.4" for _ in range(4))
    canvas.path(f"M {x + 2.8:.3f} {y + 1.2:.3f} {arcs}", STROKE_MM, into=into)


def horn(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Horn."""
    leads(canvas, into, x, y, 2.2, 5.8)
    canvas.rect(Box(x - 0.9, y + 2.2, 1.8, 3.6), STROKE_MM, into=into)
    canvas.line(
        [(x + 0.9, y + 2.9), (x + 3, y + 1.6), (x + 3, y + 6.4), (x + 0.9, y + 5.1)],
        STROKE_MM,
        into=into,
    )

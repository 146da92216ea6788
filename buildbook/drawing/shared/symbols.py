"""Symbols after IEC 60617, drawn downwards from a point: current enters at the top."""

from __future__ import annotations

from collections.abc import Callable

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM

SYMBOL_MM = 8.0
"""Height of every two-terminal symbol between its terminals."""
STROKE_MM = 0.35

Symbol = Callable[[Canvas, BaseElement, float, float], None]


def _leads(
    canvas: Canvas, into: BaseElement, x: float, y: float, top: float, bottom: float
) -> None:
    """The leads of a symbol whose body reaches from `top` to `bottom` below y."""
    canvas.line([(x, y), (x, y + top)], STROKE_MM, into=into)
    canvas.line([(x, y + bottom), (x, y + SYMBOL_MM)], STROKE_MM, into=into)


def _letter(canvas: Canvas, into: BaseElement, x: float, y: float, text: str) -> None:
    canvas.text(x, y + 0.95, text, SMALL_MM, "middle", into=into, class_="symbol", record=False)


def fuse(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Fuse: a box with the line through it."""
    canvas.rect(Box(x - 1.2, y + 1.5, 2.4, 5), STROKE_MM, into=into)
    canvas.line([(x, y), (x, y + SYMBOL_MM)], STROKE_MM, into=into)


def resistor(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Resistor; a plain load."""
    _leads(canvas, into, x, y, 1.5, 6.5)
    canvas.rect(Box(x - 1.1, y + 1.5, 2.2, 5), STROKE_MM, into=into)


def heater(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Heating element: a resistor with bars across."""
    resistor(canvas, into, x, y)
    for step in (2.75, 4.0, 5.25):
        canvas.line([(x - 1.1, y + step), (x + 1.1, y + step)], 0.25, into=into)


def lamp(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Lamp: a circle with a cross."""
    _leads(canvas, into, x, y, 1.5, 6.5)
    canvas.circle(x, y + 4, 2.5, STROKE_MM, into=into)
    for sign in (-1, 1):
        canvas.line(
            [(x - 1.77, y + 4 - sign * 1.77), (x + 1.77, y + 4 + sign * 1.77)], STROKE_MM, into=into
        )


def _lettered(letter: str) -> Symbol:
    def draw(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
        _leads(canvas, into, x, y, 1.1, 6.9)
        canvas.circle(x, y + 4, 2.9, STROKE_MM, into=into)
        _letter(canvas, into, x, y + 4, letter)

    draw.__doc__ = f"Machine: a circle with {letter}."
    return draw


motor = _lettered("M")
generator = _lettered("G")


def solenoid(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Winding: four half circles."""
    _leads(canvas, into, x, y, 1.2, 6.8)
    arcs = " ".join("a 0.7 0.7 0 0 1 0 1.4" for _ in range(4))
    canvas.path(f"M {x:.3f} {y + 1.2:.3f} {arcs}", STROKE_MM, into=into)


def ignition_coil(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Two windings with a core between and the spark gap's arrow."""
    solenoid(canvas, into, x, y)
    canvas.line([(x + 1.4, y + 1.2), (x + 1.4, y + 6.8)], 0.5, into=into)
    arcs = " ".join("a 0.7 0.7 0 0 0 0 1.4" for _ in range(4))
    canvas.path(f"M {x + 2.8:.3f} {y + 1.2:.3f} {arcs}", STROKE_MM, into=into)


def relay_coil(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Operating coil of a relay: a box across the path."""
    _leads(canvas, into, x, y, 2.6, 5.4)
    canvas.rect(Box(x - 2.5, y + 2.6, 5, 2.8), STROKE_MM, into=into)


def make_contact(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Make contact, open at rest."""
    _leads(canvas, into, x, y, 2.2, 6.0)
    canvas.line([(x, y + 6.0), (x - 2.2, y + 2.4)], STROKE_MM, into=into)


def break_contact(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Break contact, closed at rest."""
    _leads(canvas, into, x, y, 2.2, 6.0)
    canvas.line([(x, y + 6.0), (x + 1.5, y + 1.8)], STROKE_MM, into=into)
    canvas.line([(x, y + 2.2), (x + 1.8, y + 2.2)], STROKE_MM, into=into)


def switch(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Switch worked by hand: a make contact with its actuator."""
    make_contact(canvas, into, x, y)
    canvas.line([(x - 1.2, y + 4.1), (x - 3.4, y + 4.1)], 0.25, dash="0.7 0.5", into=into)
    canvas.line([(x - 3.4, y + 3.1), (x - 3.4, y + 5.1)], STROKE_MM, into=into)


def horn(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Horn."""
    _leads(canvas, into, x, y, 2.2, 5.8)
    canvas.rect(Box(x - 0.9, y + 2.2, 1.8, 3.6), STROKE_MM, into=into)
    canvas.line(
        [(x + 0.9, y + 2.9), (x + 3, y + 1.6), (x + 3, y + 6.4), (x + 0.9, y + 5.1)],
        STROKE_MM,
        into=into,
    )


def battery(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Battery of cells: long plate plus, short plate minus."""
    _leads(canvas, into, x, y, 2.4, 5.4)
    for step, half in ((2.4, 2.6), (3.4, 1.3), (4.4, 2.6), (5.4, 1.3)):
        canvas.line([(x - half, y + step), (x + half, y + step)], STROKE_MM, into=into)
    _letter(canvas, into, x - 2.0, y + 0.6, "+")


def suppressing_diode(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Diode across a coil: blocks downwards, passes upwards when the coil lets go."""
    canvas.line([(x, y), (x, y + SYMBOL_MM)], STROKE_MM, into=into)
    canvas.line(
        [(x - 1.5, y + 5.2), (x + 1.5, y + 5.2), (x, y + 2.8), (x - 1.5, y + 5.2)],
        STROKE_MM,
        into=into,
    )
    canvas.line([(x - 1.5, y + 2.8), (x + 1.5, y + 2.8)], STROKE_MM, into=into)


def bond(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """A plain joint inside a device."""
    canvas.line([(x, y), (x, y + SYMBOL_MM)], 0.5, into=into)


SENSES = {
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


def sensor(senses: str | None) -> Symbol:
    """Sensor: a square with the letter of the quantity; resistive ones carry the slanted line."""

    def draw(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
        if senses in ("ntc", "platinum"):
            resistor(canvas, into, x, y)
            canvas.line([(x - 2.4, y + 6.2), (x + 2.2, y + 1.8)], 0.25, into=into)
            canvas.line([(x - 2.4, y + 6.2), (x - 3.6, y + 6.2)], 0.25, into=into)
            return
        _leads(canvas, into, x, y, 1.5, 6.5)
        canvas.rect(Box(x - 2.5, y + 1.5, 5, 5), STROKE_MM, into=into)
        _letter(canvas, into, x, y + 4, SENSES.get(senses or "", "S"))

    return draw


BY_KIND: dict[str, Symbol] = {
    "battery": battery,
    "alternator": generator,
    "starter": motor,
    "fuse": fuse,
    "switch": lamp,
    "lamp": lamp,
    "motor": motor,
    "solenoid": solenoid,
    "injector": solenoid,
    "ignition coil": ignition_coil,
    "horn": horn,
    "heater": heater,
    "load": resistor,
}


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


def screen(canvas: Canvas, into: BaseElement, box: Box) -> None:
    """Screen around the wires in the box: a dashed oval."""
    canvas.rect(box, 0.25, dash="1 0.7", radius=min(box.w, box.h) / 2, into=into)


def twist(canvas: Canvas, into: BaseElement, left: float, right: float, y: float) -> None:
    """Twisted conductors: a slanted stroke across them."""
    canvas.line([(left - 0.95, y + 0.6), (right + 0.95, y - 0.6)], 0.35, into=into)


def stud(canvas: Canvas, into: BaseElement, x: float, y: float) -> None:
    """Terminal stud: an open circle."""
    canvas.circle(x, y + 0.9, 0.9, STROKE_MM, fill="#ffffff", into=into)

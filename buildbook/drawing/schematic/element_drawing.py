"""Draws any element of a schematic."""

from __future__ import annotations

from collections.abc import Callable

from svgwrite.base import BaseElement

from buildbook.drawing.schematic.device_drawing import draw_device
from buildbook.drawing.schematic.element import (
    Element,
)
from buildbook.drawing.schematic.joint_drawing import (
    draw_cap,
    draw_flag,
    draw_ground,
    draw_half,
    draw_splice,
    draw_stud,
)
from buildbook.drawing.shared.canvas import Canvas

Draw = Callable[[Canvas, Element, BaseElement, float, float, float], None]
"""Draws an element into a group: column 0 at x, upper edge at y, columns a pitch apart (mm)."""


def draw_element(canvas: Canvas, element: Element, x: float, y: float, pitch: float) -> None:
    """Draws an element with column 0 at x and its upper edge at y."""
    into = canvas.group(class_=f"element {element.kind}", data={"data-of": element.of})
    draw: Draw = {
        "supply": draw_device,
        "device": draw_device,
        "return": draw_ground,
        "stud": draw_stud,
        "splice": draw_splice,
        "half": draw_half,
        "cap": draw_cap,
        "flag": draw_flag,
    }[element.kind]
    draw(canvas, element, into, x, y, pitch)

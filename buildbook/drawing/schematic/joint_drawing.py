"""Draws grounds, studs, splices, contacts between harnesses, capped ends and flags."""

from __future__ import annotations

from svgwrite.base import BaseElement

from buildbook.drawing.schematic.boundary import HEIGHT_MM, LINE_AT_MM
from buildbook.drawing.schematic.captions import write_caption
from buildbook.drawing.schematic.element import (
    LINE_SPACING_MM,
    Element,
)
from buildbook.drawing.schematic.footprints import FEEDS, feeds_mm
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM
from buildbook.drawing.symbols.common import STROKE_MM
from buildbook.drawing.symbols.joints import cap, dot, ground, plug_and_socket, stud
from buildbook.words.say import say


def draw_ground(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    ground(canvas, into, x, y)
    write_caption(canvas, element, x, y + 3.4, "middle")


def draw_stud(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    stud(canvas, into, x, y)
    write_caption(canvas, element, x, y + 2.0, "middle")
    drawing, zone = element.continues_at
    if drawing:
        line, start = y + 4.3 + LINE_SPACING_MM, x - feeds_mm() / 2
        said = canvas.text(start, line, say(FEEDS), class_="away")
        canvas.reference(
            start + said.w + 0.9,
            line,
            drawing,
            zone,
            say("panel", context="of the fuses"),
            class_="away",
        )


def flag_reference_mm(fed: bool) -> float:
    """Down to the line on which a flag's reference stands, mm; fed: its wire comes from above."""
    return (4.3 if fed else 2.1) + LINE_SPACING_MM


def draw_flag(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    below = bool(element.tops)
    edge = y if below else y + 2.2 + LINE_SPACING_MM * len(element.caption)
    sign = 1 if below else -1
    canvas.line([(x, edge), (x, edge + sign * 2.0)], STROKE_MM, into=into)
    canvas.line(
        [(x - 1, edge + sign * 0.8), (x, edge + sign * 2.0), (x + 1, edge + sign * 0.8)],
        STROKE_MM,
        into=into,
    )
    line = y + flag_reference_mm(below)
    name, words = element.caption
    canvas.text(x, line - LINE_SPACING_MM, name, anchor="middle", bold=True, class_="name")
    canvas.reference(x, line, *element.continues_at, words, anchor="middle", class_="name")


def draw_splice(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    middle = y + 1.8
    columns = [c for c, _, _ in element.tops + element.bottoms]
    canvas.line(
        [(x + min(columns) * pitch, middle), (x + max(columns) * pitch, middle)], 0.5, into=into
    )
    for ports, edge in ((element.tops, y), (element.bottoms, y + 3.6)):
        for column, _, _ in ports:
            canvas.line(
                [(x + column * pitch, edge), (x + column * pitch, middle)],
                STROKE_MM,
                into=into,
            )
            dot(canvas, into, x + column * pitch, middle)
    canvas.text(
        x + max(columns) * pitch + 1.4,
        middle + 0.95,
        element.caption[0],
        SMALL_MM,
        bold=True,
        class_="name",
    )


def draw_half(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    middle = y + LINE_AT_MM
    plug_and_socket(canvas, into, x, middle - 1.3)
    canvas.line([(x, y), (x, middle - 1.2)], STROKE_MM, into=into)
    canvas.line([(x, middle + 1.1), (x, y + HEIGHT_MM)], STROKE_MM, into=into)
    canvas.text(x + 1.5, middle + 0.95, element.caption[0], SMALL_MM, bold=True, class_="name")


def draw_cap(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    if element.tops:
        cap(canvas, into, x, y, 1)
    else:
        cap(canvas, into, x, y + 3.2, -1)
    canvas.text(x + 1.5, y + 2.6, element.caption[0], SMALL_MM, class_="name")

"""Draws a device: its outline, the symbols inside, the bars that join them, and its pins."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass

from svgwrite.base import BaseElement

from buildbook.drawing.schematic.block_words import (
    other_pins,
    shows_uses,
    use_lines,
)
from buildbook.drawing.schematic.captions import write_caption
from buildbook.drawing.schematic.element import (
    LINE_SPACING_MM,
    PIN_MM,
    Element,
    PinPlace,
)
from buildbook.drawing.schematic.footprints import BAR_MM, end_mm, height_of, lines_beside
from buildbook.drawing.schematic.pin_lettering import pin_lettering
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM
from buildbook.drawing.symbols.common import STROKE_MM, SYMBOL_MM
from buildbook.drawing.symbols.joints import dot, plug_and_socket
from buildbook.drawing.symbols.sensor import letter_of

INSET_MM = 1.1
"""From the outline of a device to the first of them."""
FRAME_MM = 4.4
"""From the outermost columns of a device to its outline."""


@dataclass(frozen=True)
class _InnerHeights:
    """Heights inside a device part: its edges, its symbols and the joining bars of its pins."""

    edge: dict[bool, float]
    symbol: dict[bool, float]
    bars: dict[tuple[bool, str], float]

    def reach(self, top: bool, pin: str) -> float:
        return self.bars.get((top, pin), self.edge[top])


def _inner(element: Element, y: float) -> _InnerHeights:
    uppers, lowers = element.joining_bars(True), element.joining_bars(False)
    edge = {True: y + end_mm(element, True), False: y + height_of(element) - end_mm(element, False)}
    start = edge[True] + 0.5 + BAR_MM * len(uppers)
    bars = {(True, p): edge[True] + INSET_MM + BAR_MM * n for n, p in enumerate(uppers)}
    bars |= {(False, p): edge[False] - INSET_MM - BAR_MM * n for n, p in enumerate(lowers)}
    return _InnerHeights(edge, {True: start, False: start + SYMBOL_MM}, bars)


def draw_device(
    canvas: Canvas, element: Element, into: BaseElement, x: float, y: float, pitch: float
) -> None:
    inner, last = _inner(element, y), x + (element.width - 1) * pitch
    middle = (inner.edge[True] + inner.edge[False]) / 2
    if len(element.inside) != 1 or element.width > 1:
        high = inner.edge[False] - inner.edge[True]
        box = Box(x - FRAME_MM, inner.edge[True], last - x + 2 * FRAME_MM, high)
        canvas.rect(box, 0.35, dash="" if not element.inside else "1.5 1", into=into)
    if element.device and element.device.kind == "sensor" and not element.inside:
        letter = letter_of(element.device.written.senses)
        at = (x + last) / 2
        canvas.text(at, middle + 0.95, letter, SMALL_MM, "middle", class_="symbol")
    if shows_uses(element):
        _write_uses(canvas, element, into, x, inner, pitch)
    joined: dict[tuple[bool, str], Counter[float]] = defaultdict(Counter)
    for part in element.inside:
        column = x + element.columns[part.id] * pitch
        part.symbol(canvas, into, column, inner.symbol[True])
        for top, pin in ((True, part.top), (False, part.bottom)):
            joined[top, pin][column] += 1
            ends = [(column, inner.symbol[top]), (column, inner.reach(top, pin))]
            canvas.line(ends, STROKE_MM, into=into)
    for top, ports in ((True, element.tops), (False, element.bottoms)):
        for n, pin, wire in ports:
            column = x + n * pitch
            _draw_pin(canvas, element, into, (column, y), (n, pin, wire), top, pitch)
            if (top, pin) in inner.bars:
                joined[top, pin][column] += 1
                ends = [(column, inner.edge[top]), (column, inner.bars[top, pin])]
                canvas.line(ends, STROKE_MM, into=into)
    _draw_bars(canvas, into, inner, joined)
    start = max(inner.edge[True], middle - LINE_SPACING_MM * lines_beside(element) / 2 - 0.3)
    _write_beside(canvas, element, last + 5.0, start)


def _write_beside(canvas: Canvas, element: Element, x: float, y: float) -> None:
    """The caption, and below it where a block is supplied and its other pins are drawn."""
    write_caption(canvas, element, x, y, "start")
    others = [
        (words, element.drawn_at[pin])
        for pin, words in other_pins(element).items()
        if pin in element.drawn_at
    ]
    for n, (word, (drawing, zone)) in enumerate(
        [*element.supplied_at, *others], len(element.caption)
    ):
        line = y + 2.3 + n * LINE_SPACING_MM
        said = canvas.text(x, line, word, SMALL_MM, class_="away")
        words = drawing.removeprefix("schematic-")
        canvas.reference(x + 0.8 + said.w, line, drawing, zone, words, class_="away")


def _write_uses(
    canvas: Canvas,
    element: Element,
    into: BaseElement,
    x: float,
    inner: _InnerHeights,
    pitch: float,
) -> None:
    """What each pin of a block is for, upwards inside it, in line with its wire."""
    for top, ports in ((True, element.tops), (False, element.bottoms)):
        y = inner.edge[top] + (1.0 if top else -1.0)
        for column, pin_id, _ in ports:
            pin = element.pin(pin_id)
            if pin and pin.use:
                lines = use_lines(pin)
                first = x + column * pitch + 0.85 - LINE_SPACING_MM * (len(lines) - 1) / 2
                for n, line in enumerate(lines):
                    canvas.text(
                        first + n * LINE_SPACING_MM,
                        y,
                        line,
                        SMALL_MM,
                        "end" if top else "start",
                        turned=True,
                        class_="use",
                    )


def _draw_bars(
    canvas: Canvas,
    into: BaseElement,
    inner: _InnerHeights,
    joined: dict[tuple[bool, str], Counter[float]],
) -> None:
    """The bars that join what is at one pin, with a dot wherever three lines meet."""
    for key, columns in joined.items():
        if key in inner.bars:
            first, last = min(columns), max(columns)
            canvas.line([(first, inner.bars[key]), (last, inner.bars[key])], STROKE_MM, into=into)
            for column, lines in columns.items():
                if lines > 1 or first < column < last:
                    dot(canvas, into, column, inner.bars[key])


def _draw_pin(
    canvas: Canvas,
    element: Element,
    into: BaseElement,
    at: tuple[float, float],
    port: PinPlace,
    top: bool,
    pitch: float,
) -> None:
    """A pin between the end of its wire and the outline, or a stub where no wire is drawn."""
    (x, start), (_, pin_id, wire) = at, port
    pin, foot = element.pin(pin_id), start + height_of(element)
    outline = start + end_mm(element, True) if top else foot - end_mm(element, False)
    y = start if top else foot - PIN_MM
    if not wire:
        canvas.line([(x, outline), (x, outline + (-1.8 if top else 1.8))], STROKE_MM, into=into)
    elif pin and pin.cavity:
        plug_and_socket(canvas, into, x, y + 0.4)
        canvas.line([(x, y), (x, y + 0.5)], STROKE_MM, into=into)
        canvas.line([(x, y + 2.9), (x, y + PIN_MM)], STROKE_MM, into=into)
    else:
        canvas.line([(x, y), (x, y + PIN_MM)], STROKE_MM, into=into)
        canvas.circle(x, y + 1.7, 0.7, STROKE_MM, fill="#ffffff", into=into)
    inner = y + PIN_MM if top else y
    if wire and inner != outline:
        canvas.line([(x, inner), (x, outline)], STROKE_MM, into=into)
    _write_pin(canvas, element, (x, y, outline), port, top, pitch)


def _write_pin(
    canvas: Canvas,
    element: Element,
    at: tuple[float, float, float],
    port: PinPlace,
    top: bool,
    pitch: float,
) -> None:
    """The pin's name, beside the plug or next to the outline, and the line that refers."""
    (x, y, outline), (_, pin_id, wire) = at, port
    words = pin_lettering(element, top, port, pitch)
    down = 1 if top else -1
    name_y = y + (2.6 if top else 2.8)
    if not wire:
        name_y = outline - 1.2 if top else outline + 3.0
    beside, anchor = (x - 1.4, "end") if words.left else (x + 1.4, "start")
    data = {"data-pin": pin_id}
    if wire:
        canvas.text(x + 1.4, name_y, words.name, SMALL_MM, class_="pin", data=data)
    else:
        canvas.text(beside, name_y, words.name, SMALL_MM, anchor, class_="pin", data=data)
    if not words.refers or pin_id not in element.drawn_at:
        return
    line = name_y + (down if wire else -down) * LINE_SPACING_MM
    drawing, zone = element.drawn_at[pin_id]
    if words.before:
        said = canvas.text(beside, line, words.before, SMALL_MM, anchor, class_="away")
        beside += -said.w - 0.9 if words.left else said.w + 0.9
    canvas.reference(
        beside,
        line,
        drawing,
        zone if words.with_zone or not drawing else "",
        drawing.removeprefix("schematic-"),
        anchor=anchor,
        class_="away",
    )

"""The room that each element of a schematic takes."""

from __future__ import annotations

from buildbook.drawing.schematic.block_words import (
    references_beside,
    uses_mm,
)
from buildbook.drawing.schematic.boundary import AFTER_MM, HEIGHT_MM, shown_names
from buildbook.drawing.schematic.captions import name_line_count
from buildbook.drawing.schematic.element import (
    LINE_SPACING_MM,
    PIN_MM,
    Element,
)
from buildbook.drawing.schematic.layout_model import Footprint
from buildbook.drawing.schematic.pin_lettering import pin_lettering
from buildbook.drawing.shared.canvas import WIDEST_PAGE, paged_words
from buildbook.drawing.shared.lettering import SMALL_MM, text_width_mm
from buildbook.drawing.symbols.common import SYMBOL_MM
from buildbook.words.say import mark, say

BAR_MM = 1.5
"""Distance between joining bars inside a device."""
FEEDS = mark("fuses")
"""Before the page on which it is drawn what a bus bar feeds."""


def footprint_of(element: Element, pitch: float) -> Footprint:
    """The room that an element needs."""
    last = (element.width - 1) * pitch
    names = name_line_count(element.caption)
    words = max(
        (text_width_mm(line, SMALL_MM, n < names) for n, line in enumerate(element.caption)),
        default=0.0,
    )
    if element.kind in ("supply", "device"):
        right = last + 5.8 + max(words, references_mm(element))
        pins = [
            (port[0] * pitch, pin_lettering(element, top, port, pitch))
            for top, edge in ((True, element.tops), (False, element.bottoms))
            for port in edge
        ]
        left = max([4.6, *(words.width + 2 - x for x, words in pins if words.left)])
        right = max([right, *(x + 2 + words.width for x, words in pins if not words.left)])
        return Footprint(
            element.key, left, right, height_of(element), element.kind, not element.inside
        )
    if element.kind in ("return", "flag", "stud"):
        lines = len(element.caption)
        if element.kind == "stud" and element.continues_at[0]:
            lines, words = lines + 1, max(words, feeds_mm())
        high = (3.6 if element.kind == "return" else 2.2) + LINE_SPACING_MM * lines
        return Footprint(
            element.key, max(3.6, words / 2 + 0.4), max(2.6, words / 2 + 0.4), high, element.kind
        )
    if element.kind == "splice":
        return Footprint(element.key, 1.2, last + 2 + words, 3.6, "splice", True, True)
    if element.kind == "half":
        beside = max(text_width_mm(name, SMALL_MM) for name in shown_names(element.harnesses))
        right = max(words + 1.5 + AFTER_MM + 3.0, beside + 2)
        return Footprint(element.key, 4.4, right, HEIGHT_MM, element.kind)
    return Footprint(element.key, 1.4, 2 + words, 3.2, element.kind)


def height_of(element: Element) -> float:
    """Height of a device part in mm."""
    uses = uses_mm(element, True) + uses_mm(element, False)
    middle = SYMBOL_MM if element.inside else max(7.0, uses)
    bars = len(element.joining_bars(True)) + len(element.joining_bars(False))
    ends = end_mm(element, True) + end_mm(element, False)
    return ends + 1.0 + BAR_MM * bars + max(middle, LINE_SPACING_MM * lines_beside(element) - 1)


def lines_beside(element: Element) -> int:
    """Lines beside a device."""
    return len(element.caption) + len(references_beside(element))


def references_mm(element: Element) -> float:
    """Width of the lines beside a block that refer; 0 where there are none."""
    page = paged_words(WIDEST_PAGE, "D6")
    return max(
        (text_width_mm(f"{w} {page}", SMALL_MM) for w in references_beside(element)), default=0.0
    )


def feeds_mm() -> float:
    """Width of the line under a bus bar's stud."""
    page = paged_words(WIDEST_PAGE, "")
    return text_width_mm(say(FEEDS), SMALL_MM) + 0.9 + text_width_mm(page, SMALL_MM)


def end_mm(element: Element, top: bool) -> float:
    """From the ends of the wires of one edge to the outline: a line more where one says more."""
    pins = {pin for _, pin, _ in element.edge(top)}
    return PIN_MM + (
        LINE_SPACING_MM
        if any(element.elsewhere[p].words for p in pins & element.elsewhere.keys())
        else 0
    )

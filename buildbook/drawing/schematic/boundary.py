"""Where paths cross from one harness into another: a dash-dot line with both their names."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from svgwrite.base import BaseElement

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, fitted

HEIGHT_MM = 9.4
"""Height of a contact between two harnesses: a name above the line and one below."""
LINE_AT_MM = 4.7
NAME_MM = 21.0
DASH_DOT = "2.4 0.7 0.4 0.7"
BEFORE_MM, AFTER_MM = 1.6, 1.3
"""From the wire to where the line stops on its left, and from the contact's name on its right."""


@dataclass(frozen=True)
class BoundaryContact:
    """One contact on the sheet: its wire's x, the contact's top, the room it takes to the right."""

    x: float
    y: float
    right: float
    words: float
    """Width of the contact's name."""
    connector: str
    harnesses: tuple[str, str]
    """Above and below."""


def shown_names(harnesses: tuple[str, str]) -> tuple[str, str]:
    """Both harness names, cut to the room beside a contact."""
    above, below = (fitted(h, SMALL_MM, NAME_MM) for h in harnesses)
    return above, below


def draw_boundaries(
    canvas: Canvas,
    contacts: list[BoundaryContact],
    solid: list[Box],
    wires: list[tuple[float, float, float]],
) -> None:
    """The boundary at every contact, one line through neighbours with nothing between them.

    Two boundaries in one row would lie on each other where their contacts alternate.

    `solid` are the places of other elements; `wires` (x, upper y, lower y) of uprights.
    """
    rows: dict[tuple[float, str, tuple[str, str]], list[BoundaryContact]] = {}
    for contact in contacts:
        rows.setdefault((contact.y, contact.connector, contact.harnesses), []).append(contact)
    into = canvas.group(class_="boundary")
    for (top, _, harnesses), row in sorted(rows.items()):
        y = top + LINE_AT_MM
        row.sort(key=lambda c: c.x)
        others = [Box(c.x, c.y, 0.0, HEIGHT_MM) for c in contacts if c not in row]
        _dashes(canvas, into, row[0].x - 4.2, row[0].x - BEFORE_MM, y)
        joined = [False]
        for one, other in pairwise(row):
            between = (one.x + 0.5, other.x - 0.5)
            line = Box(between[0], y, between[1] - between[0], 0.0)
            free = not any(line.overlaps(box) for box in solid + others)
            free &= not any(between[0] < x < between[1] and a < y < b for x, a, b in wires)
            joined.append(free)
            end = other.x - BEFORE_MM if free else one.x + one.right
            _dashes(canvas, into, one.x + one.words + 1.5 + AFTER_MM, end, y)
            if not free:
                _dashes(canvas, into, other.x - 4.2, other.x - BEFORE_MM, y)
        last = row[-1]
        _dashes(canvas, into, last.x + last.words + 1.5 + AFTER_MM, last.x + last.right, y)
        for contact, is_joined in zip(row, joined, strict=True):
            if not is_joined:
                for words, base in zip(shown_names(harnesses), (y - 2.0, y + 3.7), strict=True):
                    canvas.text(contact.x + 1.5, base, words, class_="harness")


def _dashes(canvas: Canvas, into: BaseElement, start: float, end: float, y: float) -> None:
    if end - start > 0.8:
        canvas.line([(start, y), (end, y)], 0.25, dash=DASH_DOT, into=into)

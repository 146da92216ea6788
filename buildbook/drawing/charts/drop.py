"""Drop chart: of every circuit the hardest way that its wires are on, against its allowance."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildbook.drawing.charts.axis import DARK, WIDTH_MM, draw_axis
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted, text_width_mm
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.sheet import figure, part_title
from buildbook.sizing.model import Limit
from buildbook.sizing.stage import Sized
from buildbook.words.say import say

MOST_ROWS, ROW_MM, FOLDED_MM = 55, 5.0, 3.9
"""Rows one below the other, and their height where few and where many."""
COLUMNS = 2
SCALE = 1.5
"""Right end of the axis, as a share of the allowance; longer bars end in an arrow."""


@dataclass(frozen=True)
class Drop:
    """A circuit and the limit of its wire that comes closest to its allowance."""

    number: str
    circuit: str
    wire: str
    limit: Limit

    @property
    def share(self) -> float:
        return self.limit.value / self.limit.allowed if self.limit.allowed else math.inf


def drops(result: Sized) -> tuple[Drop, ...]:
    """Circuits whose wires have a limit of drop, nearest to it (or furthest over it) first."""
    worst: dict[str, Drop] = {}
    for id_, sizing in result.sizing.wires.items():
        circuit = result.harness.wires[id_].circuit
        for limit in (limit for limit in sizing.limits if limit.name == "drop"):
            number = f"{result.vehicle.circuits[circuit].number}"
            drop = Drop(number, circuit, id_, limit)
            if circuit not in worst or drop.share > worst[circuit].share:
                worst[circuit] = drop
    return tuple(sorted(worst.values(), key=lambda drop: (-drop.share, drop.number)))


def drop_charts(result: Sized) -> tuple[Drawing, ...]:
    """The chart, in several parts where there are many circuits; none where nothing is limited."""
    found = drops(result)
    page = COLUMNS * MOST_ROWS
    parts = [found[n : n + page] for n in range(0, len(found), page)]
    return tuple(_chart(result, part, n, len(parts)) for n, part in enumerate(parts, 1))


def _chart(result: Sized, found: tuple[Drop, ...], part: int, parts: int) -> Drawing:
    columns = 1 if len(found) <= MOST_ROWS // 2 else COLUMNS
    rows = math.ceil(len(found) / columns)
    row = ROW_MM if rows <= 42 else FOLDED_MM
    title = part_title(say("Drop by circuit against its limit"), part, parts)
    name = "drops" if part == 1 else f"drops-{part}"
    canvas = figure(
        WIDTH_MM,
        13 + row * rows + 8,
        result.vehicle.description.vehicle,
        name,
        title,
        say("hardest of each"),
    )
    canvas.text(2, 4.2, title, NORMAL_MM, bold=True)
    note = say(
        "volts lost on the hardest way through a wire of the circuit, there and back; "
        "heavy line, 100 %: what it may lose; crossed: over"
    )
    canvas.text(2, 8.4, fitted(note, SMALL_MM, WIDTH_MM - 4), colour=GREY)
    for n in range(columns):
        _column(canvas, found[n * rows : (n + 1) * rows], row, n, columns)
    return canvas.drawing(name, title)


def _column(canvas: Canvas, found: tuple[Drop, ...], row: float, place: int, columns: int) -> None:
    """Name, bar, volts of allowance; the load and state where a single column leaves room."""
    wide = (WIDTH_MM - 4) / columns
    left, names, figures = 2 + place * wide, 38.0, 19.0
    bar_mm = 40.0 if columns == 1 else wide - names - figures - 6
    area = Box(left + names, 11.0, bar_mm, row * len(found))
    ticks = [0.0, 50.0, 100.0, SCALE * 100]
    draw_axis(canvas, area, ticks, say("% of allowance"))
    for n, drop in enumerate(found):
        y, middle = area.y + n * row, area.y + (n + 0.5) * row
        base = middle + 0.93
        number = canvas.text(left, base, drop.number, bold=True)
        room = names - (number.right - left) - 3
        canvas.text(number.right + 1.4, base, fitted(drop.circuit, SMALL_MM, room))
        _bar(canvas, Box(area.x, y + row / 2 - 1.2, area.w, 2.4), drop.share)
        words = _volts(drop.limit.value, drop.limit.allowed)
        canvas.text(area.right + 2, base, words, class_="volts")
        if columns == 1:
            x = area.right + 4 + text_width_mm(_volts(88.88, 88.88), SMALL_MM)
            detail = f"{drop.wire}: {drop.limit.detail}"
            canvas.text(x, base, fitted(detail, SMALL_MM, WIDTH_MM - 2 - x))
    limit = area.x + area.w / SCALE
    canvas.line([(limit, area.y), (limit, area.bottom)], 0.5, class_="limit")


def _volts(lost: float, allowed: float) -> str:
    return say("{lost:.2f} of {allowed:.2f} V", lost=lost, allowed=allowed)


def _bar(canvas: Canvas, room: Box, share: float) -> None:
    """Dark up to the allowance; white and crossed beyond, so that it shows in grey too."""
    per = room.w / SCALE
    shown = min(share, SCALE)
    inside = Box(room.x, room.y, min(shown, 1.0) * per, room.h)
    canvas.rect(inside, 0.25, fill=DARK, class_="drop")
    if share > 1:
        over = Box(inside.right, room.y, (shown - 1.0) * per, room.h)
        canvas.rect(over, 0.35, fill="#ffffff", class_="over")
        canvas.line([(over.x, over.y), (over.right, over.bottom)], 0.35)
        canvas.line([(over.x, over.bottom), (over.right, over.y)], 0.35)

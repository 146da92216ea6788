"""Fuse chart: every fuse's heaviest load against its rating."""

from __future__ import annotations

import math
from collections.abc import Sequence

from buildbook.drawing.charts.axis import WIDTH_MM, draw_axis, load_bar
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import NORMAL_MM, SMALL_MM, fitted
from buildbook.drawing.shared.sheet import figure
from buildbook.figures import current
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import FuseSizing
from buildbook.sizing.stage import Sized
from buildbook.words.say import say

MOST_ROWS, MOST_COLUMNS = 55, 3
"""Fuses that the fuse chart takes one below the other, and side by side, within 240 mm."""


def fuse_chart(result: Sized) -> Sheets:
    """Every fuse's heaviest load against its rating; of too many for a sheet the most loaded."""
    every = list(result.sizing.fuses.values())
    if not every:
        return ()
    fuses = every
    if len(every) > MOST_COLUMNS * MOST_ROWS:
        fuses = sorted(every, key=lambda f: (-f.load_a / (f.rating_a or math.inf), f.fuse))
        fuses = fuses[: MOST_COLUMNS * MOST_ROWS]
    columns = max(1, math.ceil(len(fuses) / MOST_ROWS))
    rows = max(1, math.ceil(len(fuses) / columns))
    row = 5.0 if rows <= 42 else 3.9
    canvas = figure(
        WIDTH_MM,
        12 + row * rows + 8,
        result.vehicle.description.vehicle,
        "fuse-load",
        title := say("Fuse load against rating"),
        say("heaviest of each"),
    )
    canvas.text(2, 4.2, _head(len(fuses), len(every)), NORMAL_MM, bold=True)
    note = say("dark: load; outline: rating; mark: three quarters of the rating")
    canvas.text(2, 8.4, note, colour=GREY)
    for n in range(columns):
        _fuse_column(canvas, fuses[n * rows : (n + 1) * rows], row, n, columns)
    return (canvas.drawing("fuse-load", title),)


def _head(shown: int, every: int) -> str:
    if shown == every:
        return say("Fuses: heaviest load against rating")
    return say(
        "Fuses: heaviest load against rating, the {shown} most loaded; {more} more: "
        "see the fuse table",
        shown=shown,
        more=every - shown,
    )


def _fuse_column(
    canvas: Canvas, fuses: Sequence[FuseSizing], row: float, place: int, columns: int
) -> None:
    """Names, bars and figures of one column of the fuse chart; the state where it has room."""
    name, wide, room = {1: (20.0, 92.0, 48.0), 2: (17.0, 28.0, 32.0)}.get(
        columns, (12.0, 15.0, 23.0)
    )
    left = place * WIDTH_MM / columns
    area = Box(left + name + 4, 10.5, wide, row * len(fuses))
    ticks = [0.0, 25.0, 50.0, 75.0, 100.0] if columns == 1 else [0.0, 50.0, 100.0]
    unit = say("share of rating, %") if columns == 1 else say("% of rating")
    draw_axis(canvas, area, ticks, unit)
    for n, fuse in enumerate(fuses):
        y = area.y + n * row
        canvas.text(area.x - 2, y + row / 2 + 0.9, fitted(fuse.fuse, SMALL_MM, name), anchor="end")
        bar = Box(area.x, y + row / 2 - 1.2, area.w, 2.4)
        canvas.rect(bar, 0.0, fill="#ffffff")
        load_bar(canvas, bar, fuse.load_a, fuse.rating_a)
        text = say("{amps} of {most_a:g} A", amps=current(fuse.load_a, 2), most_a=fuse.rating_a)
        text += f", {state_said(fuse.state)}" if columns < 3 else ""
        canvas.text(area.right + 3, y + row / 2 + 0.9, fitted(text, SMALL_MM, room))

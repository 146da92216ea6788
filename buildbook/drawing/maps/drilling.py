"""Bulkheads to drill: each hole at full size with its cross hairs, and where on the wall it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.bench.drilling import DrilledWall, DrillHole, Spot, drilled_walls
from buildbook.drawing.maps.drill_hole import draw_face, draw_hole
from buildbook.drawing.maps.elevation import (
    Elevation,
    draw_elevation,
    elevation_of,
)
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, wrapped
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.scale_bar import draw_bar
from buildbook.drawing.shared.sheet import figure, part_title
from buildbook.figures import Units
from buildbook.sizing.stage import Sized
from buildbook.words.say import in_figures, say

WIDE_MM, DEEP_MM = 170.0, 225.0
"""Of a drawing, on an upright page."""
BAR_MM = 7.5
"""Room for the bar at the foot."""
ARM_MM = 4.0
"""Of the cross hairs past a hole, so that they are seen once it is punched."""
TOP_MM = 0.6
LINE_MM = 3.4
LEAST_CELL_MM = 26.0
"""Width of the words below a small hole."""
LARGEST_MM = 150.0
"""Hole that goes on the paper at full size."""


@dataclass(frozen=True)
class Cell:
    """What takes a piece of the paper: the wall, or one hole with the words below it."""

    wide: float
    deep: float
    view: Elevation | None = None
    hole: DrillHole | None = None
    words: tuple[str, ...] = ()


def drillings(result: Sized) -> Mapping[str, Sheets]:
    """Wall -> its drawings: one, or more where its holes do not go on one page."""
    return {
        wall.name: _drawn(result, wall, number)
        for number, wall in enumerate(drilled_walls(result), 1)
    }


def _drawn(result: Sized, wall: DrilledWall, number: int) -> Sheets:
    view = elevation_of(wall)
    cells = [Cell(view.wide, view.deep, view)] if view else []
    single = [_template(hole) for hole in wall.holes if _has_template(hole, view)]
    cells += sorted(single, key=lambda cell: cell.deep)
    sheets = _on_sheets(_rows(cells)) or [[]]
    return tuple(
        _sheet(
            result, wall, view, f"drilling-{number}" + (f"-{n}" if n > 1 else ""), rows, n, sheets
        )
        for n, rows in enumerate(sheets, 1)
    )


def _has_template(hole: DrillHole, view: Elevation | None) -> bool:
    """Whether a hole is drawn by itself: at full size the wall shows it where it is."""
    if hole.across_mm is None or hole.across_mm > LARGEST_MM:
        return False
    return hole.centre_mm is None or view is None or view.scale != 1


def _template(hole: DrillHole) -> Cell:
    across = hole.across_mm or 0.0
    wide = max(across + 2 * ARM_MM + 4.0, LEAST_CELL_MM)
    words = tuple(wrapped(f"{hole.number} · {hole.name}", SMALL_MM, wide - 2.0, 3, bold=True))
    return Cell(wide, across + 2 * ARM_MM + 4.0 + LINE_MM * (len(words) + 1), None, hole, words)


def _rows(cells: list[Cell]) -> list[list[Cell]]:
    """Cells side by side in their order, low ones first, as many as go on the width."""
    rows: list[list[Cell]] = []
    for cell in cells:
        if rows and fsum(c.wide for c in rows[-1]) + cell.wide <= WIDE_MM:
            rows[-1].append(cell)
        else:
            rows.append([cell])
    return rows


def _deep(row: list[Cell]) -> float:
    return max(cell.deep for cell in row)


def _on_sheets(rows: list[list[Cell]]) -> list[list[list[Cell]]]:
    sheets: list[list[list[Cell]]] = []
    for row in rows:
        if sheets and fsum(map(_deep, sheets[-1])) + _deep(row) <= DEEP_MM - BAR_MM:
            sheets[-1].append(row)
        else:
            sheets.append([row])
    return sheets


def _sheet(
    result: Sized,
    wall: DrilledWall,
    view: Elevation | None,
    name: str,
    rows: list[list[Cell]],
    number: int,
    sheets: list[list[list[Cell]]],
) -> Drawing:
    units = result.vehicle.measures
    title = part_title(
        say("{wall}: holes, seen looking forward", wall=wall.name), number, len(sheets)
    )
    canvas = figure(
        WIDE_MM,
        TOP_MM + fsum(map(_deep, rows)) + BAR_MM,
        result.vehicle.description.vehicle,
        name,
        title,
        scale=_scale(view),
    )
    y = TOP_MM
    for row in rows:
        x = 0.0
        for cell in row:
            if cell.view:
                draw_elevation(canvas, cell.view, (x, y), units)
            elif cell.hole:
                _draw_template(canvas, cell, cell.hole, (x, y), units)
            x += cell.wide
        y += _deep(row)
    draw_bar(canvas, 2.0, y + BAR_MM / 2, units)
    return canvas.drawing(name, title)


def _scale(view: Elevation | None) -> str:
    if view is None or view.scale == 1:
        return in_figures("1:1")
    return say("1:1, the wall {scale}", scale=in_figures(f"1:{view.scale:g}"))


def _draw_template(canvas: Canvas, cell: Cell, hole: DrillHole, corner: Spot, units: Units) -> None:
    """A hole at full size, which way is up, and below it what it is for."""
    radius = (hole.across_mm or 0.0) / 2
    x, y = corner[0] + cell.wide / 2, corner[1] + 2.0 + ARM_MM + radius
    if hole.through:
        draw_face(canvas, x, y, radius, hole)
    draw_hole(canvas, x, y, radius, hole)
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        ends = [
            (x + dx * radius, y + dy * radius),
            (x + dx * (radius + ARM_MM), y + dy * (radius + ARM_MM)),
        ]
        canvas.line(ends, 0.18, class_="hair")
    tip = y - radius - ARM_MM
    canvas.path(
        f"M {x - 0.9:.2f} {tip + 2:.2f} H {x + 0.9:.2f} L {x:.2f} {tip:.2f} Z",
        0.18,
        "#000000",
        class_="up",
    )
    base = y + radius + ARM_MM + 1.0
    for line, words in enumerate(cell.words, 1):
        canvas.text(x, base + LINE_MM * line, words, anchor="middle", bold=True, class_="name")
    said = say("hole {across}", across=units.stated(hole.across_mm or 0.0))
    canvas.text(x, base + LINE_MM * (len(cell.words) + 1), said, anchor="middle", class_="across")

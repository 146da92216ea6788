"""A full-size drawing cut into sheets of paper, with the marks by which they are joined."""

from __future__ import annotations

import math
from dataclasses import dataclass

from buildbook.drawing.harness.full_size import FullSize
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.papers import PAPERS
from buildbook.drawing.shared.scale_bar import draw_bar
from buildbook.drawing.shared.zones import row_letters
from buildbook.figures import Units
from buildbook.words.say import mark, say

MARGIN_MM = 9.0
"""Paper that a printer leaves white: 4 to 6 mm and a little (common practice, no source)."""
FOOT_MM = 22.0
"""Foot of a sheet with its name, its neighbours and the bar."""
OVERLAP_MM = 14.0
"""Shown on both of two sheets that meet; the registration marks lie in its middle."""
MARK_MM = 4.0
"""Half the length of a registration mark's strokes."""
SIDES = {
    "left": mark("{sheet} left"),
    "right": mark("{sheet} right"),
    "above": mark("{sheet} above"),
    "below": mark("{sheet} below"),
}
MAP_ROOM_MM = (32.0, 84.0)
"""Left of a page beside its map, and above it for the words."""


@dataclass(frozen=True)
class Tile:
    """One sheet: its name by row and column, and the part of the board that it shows."""

    name: str
    row: int
    column: int
    window: Box


@dataclass(frozen=True)
class Tiling:
    """A drawing over sheets of one paper."""

    full: FullSize
    paper: str
    page_mm: tuple[float, float]
    """Width and height of the sheets, upright or turned, whichever takes fewer."""
    area: Box
    """The part of the board that is inked: the sheets start at its corner."""
    step_mm: tuple[float, float]
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    """Sheets with something on them, row by row."""

    def marks(self, tile: Tile) -> tuple[tuple[float, float], ...]:
        """The registration marks of a sheet on the board, where four sheets meet."""
        half = OVERLAP_MM / 2
        return tuple(
            (
                self.area.x + half + column * self.step_mm[0],
                self.area.y + half + row * self.step_mm[1],
            )
            for row in (tile.row, tile.row + 1)
            for column in (tile.column, tile.column + 1)
        )

    def on_page(self, tile: Tile, x: float, y: float) -> tuple[float, float]:
        """Where a place on the board lies on its sheet, mm from the upper left corner."""
        return MARGIN_MM + x - tile.window.x, MARGIN_MM + y - tile.window.y

    def beside(self, tile: Tile) -> dict[str, str]:
        """Names of the sheets that join a sheet, by the side on which they do."""
        by_place = {(t.row, t.column): t.name for t in self.tiles}
        sides = {"left": (0, -1), "right": (0, 1), "above": (-1, 0), "below": (1, 0)}
        found = {s: by_place.get((tile.row + r, tile.column + c)) for s, (r, c) in sides.items()}
        return {side: name for side, name in found.items() if name}


def tiled(full: FullSize, paper: str) -> Tiling:
    """A drawing over sheets of `paper`, turned the way that takes fewer."""
    upright = PAPERS[paper]
    ways = (_tiled(full, paper, upright), _tiled(full, paper, upright[::-1]))
    return min(ways, key=lambda tiling: len(tiling.tiles))


def _tiled(full: FullSize, paper: str, page: tuple[float, float]) -> Tiling:
    area = _inked(full)
    wide, high = page[0] - 2 * MARGIN_MM, page[1] - MARGIN_MM - FOOT_MM
    step = (wide - OVERLAP_MM, high - OVERLAP_MM)
    columns = max(1, math.ceil((area.w - OVERLAP_MM) / step[0]))
    rows = max(1, math.ceil((area.h - OVERLAP_MM) / step[1]))
    tiles = []
    for row in range(rows):
        for column in range(columns):
            window = Box(area.x + column * step[0], area.y + row * step[1], wide, high)
            if any(window.overlaps(box) for box in full.inked):
                tiles.append(Tile(f"{row_letters(row)}{column + 1}", row, column, window))
    return Tiling(full, paper, page, area, step, rows, columns, tuple(tiles))


def _inked(full: FullSize) -> Box:
    """The smallest box round everything drawn, and enough for the marks at its edge."""
    edge = OVERLAP_MM
    left = min(box.x for box in full.inked) - edge
    top = min(box.y for box in full.inked) - edge
    right = max(box.right for box in full.inked) + edge
    bottom = max(box.bottom for box in full.inked) + edge
    return Box(left, top, right - left, bottom - top)


def tile_marks(tiling: Tiling, tile: Tile, about: str, units: Units) -> Drawing:
    """What is printed on a sheet over its part of the drawing: frame, marks, foot with the bar."""
    canvas = Canvas(*tiling.page_mm)
    window = Box(MARGIN_MM, MARGIN_MM, tile.window.w, tile.window.h)
    canvas.rect(window, 0.2, colour=GREY, class_="window")
    for spot in tiling.marks(tile):
        _registration(canvas, *tiling.on_page(tile, *spot))
    y = window.bottom
    canvas.text(MARGIN_MM, y + 5.5, tile.name, 6.0, bold=True, class_="sheet-name")
    canvas.text(MARGIN_MM + 20, y + 4.2, about, 2.8)
    canvas.text(MARGIN_MM + 20, y + 8.0, _joins(tiling, tile), 2.8)
    draw_bar(canvas, MARGIN_MM + 1.0, y + 12.5, units)
    return canvas.drawing(f"tile-{tile.name}", say("sheet {sheet}", sheet=tile.name))


def _joins(tiling: Tiling, tile: Tile) -> str:
    """'Joins A2 right, B1 below'."""
    beside = tiling.beside(tile)
    if not beside:
        return say("Joins no other sheet")
    sheets = ", ".join(say(SIDES[side], sheet=name) for side, name in beside.items())
    return say("Joins {sheets}", sheets=sheets)


def _registration(canvas: Canvas, x: float, y: float) -> None:
    """A cross in a ring: the same place of the board on every sheet that shows it."""
    canvas.circle(x, y, 2.4, 0.2, class_="ring")
    canvas.line([(x - MARK_MM, y), (x + MARK_MM, y)], 0.25, class_="registration")
    canvas.line([(x, y - MARK_MM), (x, y + MARK_MM)], 0.25, class_="registration")


def map_of_sheets(tiling: Tiling) -> Drawing:
    """How the sheets lie: the harness small, each sheet's own area and name on it."""
    area, (dx, dy) = tiling.area, tiling.step_mm
    whole_w, whole_h = tiling.columns * dx + OVERLAP_MM, tiling.rows * dy + OVERLAP_MM
    scale = max(
        whole_w / (tiling.page_mm[0] - MAP_ROOM_MM[0]),
        whole_h / (tiling.page_mm[1] - MAP_ROOM_MM[1]),
    )
    canvas = Canvas(whole_w / scale + 2, whole_h / scale + 2)

    def paper(x: float, y: float) -> tuple[float, float]:
        return 1 + (x - area.x) / scale, 1 + (y - area.y) / scale

    for tile in tiling.tiles:
        x, y = paper(tile.window.x + OVERLAP_MM / 2, tile.window.y + OVERLAP_MM / 2)
        canvas.rect(Box(x, y, dx / scale, dy / scale), 0.25, colour=GREY, class_="cell")
        canvas.text(x + 0.8, y + 2.8, tile.name, 2.6, bold=True, halo=True)
    for path in tiling.full.formboard.paths.values():
        canvas.line([paper(*spot) for spot in path], 0.5, class_="run")
    return canvas.drawing("map", say("Page map"))

"""Sections of a twisted harness wherever its lay-up changes, as many as go on a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from buildbook.drawing.harness.section import (
    HEIGHT_MM,
    WIDTH_MM,
    Section,
    _scale_words,
    cut_through,
    draw_section,
    fullest_run,
    lay_words,
    layer_title,
    layers_of,
)
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, text_width_mm
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.sheet import STRIP_MM, figure
from buildbook.figures import Units
from buildbook.harness.breakout_order import root_of
from buildbook.harness.finishing import FinishedRun
from buildbook.sizing.stage import Sized
from buildbook.words.say import say

HEAD_MM = 7.0
CELL_MM = 42.5
"""Width of the smallest section with its words on a sheet of several: four go beside another."""
CELL_FREE_MM = 3.0
"""Of the width of a cell, beside its words."""
LAYER_MM = 3.6
"""Height of the words of a layer."""
SHEET_MM = 129.0
"""Height that a sheet of several keeps to where it can, so that two go on a page."""


def changes(result: Sized, harness: str) -> tuple[FinishedRun, ...]:
    """Twisted pieces of a harness whose lay-up is not drawn yet: those of two strands and more.

    The fullest run has a drawing of its own.
    """
    fullest = fullest_run(result, harness)
    seen = {result.finished_runs[fullest.id].lay_up} if fullest else set()
    found = []
    for piece in result.finished_runs.values():
        if piece.harness == harness and piece.lay_up and piece.lay_up not in seen:
            seen.add(piece.lay_up)
            found.append(piece)
    return tuple(found)


def laid_alike(result: Sized, piece: FinishedRun) -> tuple[str, ...]:
    """Runs of a harness through which the same strands go on as they are."""
    found = result.finished_runs.values()
    return tuple(p.run for p in found if p.harness == piece.harness and p.lay_up == piece.lay_up)


@dataclass(frozen=True)
class _Cell:
    """A piece, its section and the room that it takes on a sheet, mm."""

    piece: FinishedRun
    seen: Section
    width: float
    height: float


def lay_up_sheets(result: Sized, harness: str) -> tuple[Drawing, ...]:
    """Sections of every twisted piece at which the lay-up changes, as many as go on a page."""
    cut = [(piece, cut_through(result, piece)) for piece in changes(result, harness)]
    if not cut:
        return ()
    most = (WIDTH_MM - 8) / (2 * max(seen.radius for _, seen in cut))
    scale = min(most, max(seen.scale_for_names() for _, seen in cut))
    cells = [
        _Cell(
            piece,
            seen,
            min(
                WIDTH_MM,
                max(
                    CELL_MM, 2 * seen.radius * scale + 5, _words_mm(piece, result.vehicle.measures)
                ),
            ),
            max(2 * seen.radius * scale, 12.0) + 12 + LAYER_MM * len(layers_of(piece)),
        )
        for piece, seen in sorted(cut, key=lambda pair: -pair[1].radius)
    ]
    return tuple(_sheet(result, harness, page, scale, n) for n, page in enumerate(_pages(cells), 1))


def _words_mm(piece: FinishedRun, units: Units) -> float:
    """Width of a cell in which what is said of its layers is not cut short."""
    widths = [text_width_mm(line, SMALL_MM) for line in _layer_lines(piece, units)]
    return max(widths, default=0.0) + CELL_FREE_MM


def _layer_lines(piece: FinishedRun, units: Units) -> list[str]:
    layers = layers_of(piece)
    told = zip(layers, lay_words(layers, units), strict=True)
    return [f"{layer_title(layer.name)}: {words}" for layer, words in told]


def _pages(cells: list[_Cell]) -> list[list[list[_Cell]]]:
    """Pages of shelves of cells, largest first."""
    shelves: list[list[_Cell]] = []
    for cell in cells:
        if not shelves or fsum(c.width for c in shelves[-1]) + cell.width > WIDTH_MM:
            shelves.append([])
        shelves[-1].append(cell)
    pages: list[list[list[_Cell]]] = []
    for shelf in shelves:
        used = fsum(max(c.height for c in s) for s in pages[-1]) if pages else HEIGHT_MM
        if used + max(c.height for c in shelf) > SHEET_MM - HEAD_MM - STRIP_MM:
            pages.append([])
        pages[-1].append(shelf)
    return pages


def _sheet(
    result: Sized, harness: str, page: list[list[_Cell]], scale: float, number: int
) -> Drawing:
    height = HEAD_MM + fsum(max(c.height for c in shelf) for shelf in page)
    name = f"lay-up-{harness}-{number}"
    title = say("{harness} harness: where the lay-up changes", harness=harness)
    canvas = figure(
        WIDTH_MM, height, result.vehicle.description.vehicle, name, title, scale=_scale_words(scale)
    )
    note = say(
        "Seen from {point}; thin circle: a cable, stroke: a filler", point=_root(result, harness)
    )
    canvas.text(2, 4.2, fitted(note, SMALL_MM, WIDTH_MM - 4), colour=GREY)
    top = HEAD_MM
    for shelf in page:
        left = 0.0
        for cell in shelf:
            _draw_cell(canvas, result, cell, left, top, scale)
            left += cell.width
        top += max(c.height for c in shelf)
    called = say("{harness} harness: lay-up, {number}", harness=harness, number=number)
    return canvas.drawing(name, called)


def _root(result: Sized, harness: str) -> str:
    runs = [run for run in result.vehicle.runs if run.harness == harness]
    return root_of(runs, (w for w in result.harness.wires.values() if w.harness == harness))


def _draw_cell(
    canvas: Canvas, result: Sized, cell: _Cell, left: float, top: float, scale: float
) -> None:
    piece, room = cell.piece, cell.width - CELL_FREE_MM
    title = ", ".join(run.partition(":")[2] or run for run in laid_alike(result, piece))
    canvas.text(left + 2, top + 3.4, fitted(title, SMALL_MM, room, True), bold=True)
    units = result.vehicle.measures
    size = say(
        "{n} wires, {across} before the cover",
        n=len(piece.wires),
        across=units.across(piece.bare_mm),
    )
    canvas.text(left + 2, top + 7.0, fitted(size, SMALL_MM, room))
    for n, line in enumerate(_layer_lines(piece, units)):
        canvas.text(left + 2, top + 10.6 + LAYER_MM * n, fitted(line, SMALL_MM, room))
    middle = (left + cell.width / 2, top + cell.height - 3 - cell.seen.radius * scale)
    draw_section(canvas, result, cell.seen, middle, scale)


def lay_ups(result: Sized) -> BySubject:
    """Harness -> its sheets of sections, for every harness that is twisted."""
    found = [h for h in result.vehicle.description.rope if changes(result, h)]
    return BySubject(found, lambda harness: lay_up_sheets(result, harness))

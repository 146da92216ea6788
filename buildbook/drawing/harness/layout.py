"""Harness layout: the harness on its board to scale, as a figure among text where it is small,
else on the smallest framed sheet that holds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from buildbook.drawing.harness.board import Formboard
from buildbook.drawing.harness.label_placing import (
    Label,
    Labelling,
    label_all,
    label_most,
    write_labels,
)
from buildbook.drawing.harness.labels import point_labels, run_labels, splice_labels
from buildbook.drawing.harness.plot import Plot, draw_harness, formboard_of, keep_line, runs_of
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.clear import Point
from buildbook.drawing.shared.lettering import SMALL_MM, fitted
from buildbook.drawing.shared.model import FIGURE_MM, SHEET_MM, Drawing
from buildbook.drawing.shared.scales import scales_from
from buildbook.drawing.shared.sheet import STRIP_MM, Title, figure, frame, inside
from buildbook.figures import ESTIMATE, Units
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run
from buildbook.words.say import in_figures, say

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
MARGINS_MM = ((10.0, 8.0), (20.0, 10.0), (30.0, 11.0))
"""Kept free on paper left and right, above and below the harness, for the labels of its ends:
the least with which they all find room."""
SHEET_STEPS = 9
"""Sheet sizes tried, each twice the area of the one before."""
FIGURE_HEIGHTS_MM = (66.0, 92.0, 118.0)
"""Heights tried for a figure: less than half a page, so that it saves a sheet that lies across."""
FIGURE_MARGIN_MM, FIGURE_SPARE_MM = (20.0, 11.0), 8.0
"""Kept free round the harness, and what is spared of the height where it needs less."""
FIGURE_LABELS = 40
"""A harness with more labels has a sheet of its own."""
NOTES_MM, NOTE_MM = 76.0, 3.4
"""Width of the notes beside a title block, and between their lines."""


def layout(result: Sized, harness: str) -> Drawing:
    """One harness's layout, as a figure or on the smallest framed sheet that holds it.

    It is a figure where every label has a place on it and no leader crosses a rope.
    Sheets grow by a step of the A series, sqrt(2), until every label has a place in some order;
    of several orders the one with the fewest leaders across a rope is taken. What has no place on
    the largest either is left out, and the drawing says so.
    """
    formboard = formboard_of(result, harness)
    for high in FIGURE_HEIGHTS_MM:
        plot = _figure(result, harness, formboard, high)
        labels = _labels(plot)
        placed = label_all(plot, labels) if len(labels) <= FIGURE_LABELS else None
        if placed and not placed.poor:
            return _finished(plot, placed)
    for step, margin in product(range(SHEET_STEPS), MARGINS_MM):
        size = (SHEET_MM[0] * 2 ** (step / 2), SHEET_MM[1] * 2 ** (step / 2))
        plot = _sheet(result, harness, formboard, size, margin)
        placed = label_all(plot, _labels(plot))
        if placed:
            break
    else:
        placed = label_most(plot, _labels(plot))
    return _finished(plot, placed)


def _finished(plot: Plot, placed: Labelling) -> Drawing:
    write_labels(plot, placed)
    return plot.canvas.drawing(f"layout-{plot.harness}", _title(plot.result, plot.harness))


def _labels(plot: Plot) -> tuple[Label, ...]:
    """What is said on the sheet, in the order in which it is placed."""
    return (*run_labels(plot), *splice_labels(plot), *point_labels(plot))


def _title(result: Sized, harness: str) -> str:
    title = result.vehicle.description.rope[harness].title
    called = title or say("{harness} harness", harness=harness)
    return say("{harness}: layout", harness=called)


def _figure(result: Sized, harness: str, formboard: Formboard, high: float) -> Plot:
    """The harness as a figure at most so high, its notes below it."""
    runs = runs_of(result, harness)
    notes = _notes(formboard, runs, result.vehicle.measures)
    notes = [" · ".join(notes[:2]), " · ".join(notes[2:])]
    below = STRIP_MM + len(notes) * NOTE_MM + 1.5
    room = Box(0.5, 0.5, FIGURE_MM - 1.0, high - below)
    scale, _ = _placed(formboard, room, FIGURE_MARGIN_MM)
    enough = formboard.extent().h / scale + 2 * FIGURE_MARGIN_MM[1] + FIGURE_SPARE_MM
    room = replace(room, h=min(room.h, enough))
    scale, origin = _placed(formboard, room, FIGURE_MARGIN_MM)
    canvas = figure(
        FIGURE_MM,
        room.h + below - STRIP_MM,
        result.vehicle.description.vehicle,
        f"layout-{harness}",
        _title(result, harness),
        scale=in_figures(f"1:{scale:g}"),
    )
    _write_notes(canvas, (1.5, room.bottom + 3.2), notes, FIGURE_MM - 3.0)
    return _drawn(Plot(canvas, formboard, result, harness, runs, scale, origin, SMALL_MM, room))


def _sheet(
    result: Sized,
    harness: str,
    formboard: Formboard,
    size: tuple[float, float],
    margin: tuple[float, float],
) -> Plot:
    """The harness on a framed sheet of a size, its notes left of the title block."""
    canvas, runs = Canvas(*size), runs_of(result, harness)
    vehicle = result.vehicle.description.vehicle
    scale, origin = _placed(formboard, inside(canvas), margin)
    title = Title(
        vehicle.name,
        _title(result, harness),
        harness,
        vehicle.revision,
        str(vehicle.date),
        name=f"layout-{harness}",
        scale=in_figures(f"1:{scale:g}"),
    )
    inner = frame(canvas, title)
    _write_notes(
        canvas,
        (inner.x, canvas.height - 16.6),
        _notes(formboard, runs, result.vehicle.measures),
        NOTES_MM,
    )
    return _drawn(Plot(canvas, formboard, result, harness, runs, scale, origin, SMALL_MM, inner))


def _drawn(plot: Plot) -> Plot:
    _board_edge(plot)
    draw_harness(plot)
    return plot


def _placed(formboard: Formboard, inner: Box, margin: tuple[float, float]) -> tuple[float, Point]:
    """Largest scale at which the harness fits the sheet, and the board's corner on paper."""
    extent = formboard.extent()
    wide, high = inner.w - 2 * margin[0], inner.h - 2 * margin[1]
    scale = next(s for s in scales_from(SCALES) if extent.w / s <= wide and extent.h / s <= high)
    x = inner.x + (inner.w - extent.w / scale) / 2 - extent.x / scale
    y = inner.y + (inner.h - extent.h / scale) / 2 - extent.y / scale
    return scale, (x, y)


def _board_edge(plot: Plot) -> None:
    """The board's outline, where the whole board is on the sheet."""
    x, y = plot.origin
    edge = Box(x, y, plot.formboard.board.w / plot.scale, plot.formboard.board.h / plot.scale)
    if plot.area.holds(edge):
        plot.canvas.rect(edge, 0.25, colour=GREY, dash="4 2", class_="board")
        corners = [
            (edge.x, edge.y),
            (edge.right, edge.y),
            (edge.right, edge.bottom),
            (edge.x, edge.bottom),
        ]
        keep_line(plot, [*corners, corners[0]], 0.25)


def _notes(formboard: Formboard, runs: Sequence[Run], units: Units) -> list[str]:
    """What the drawing means."""
    board = f"{units.bare(formboard.board.w)} × {units.bare(formboard.board.h)}"
    if formboard.needs_more:
        lengths = say("Lengths in {unit}; board {board} (larger)", unit=units.name, board=board)
    else:
        lengths = say("Lengths in {unit}; board {board}", unit=units.name, board=board)
    across = say("Strokes across: clamps")
    if any(run.estimated for run in runs):
        trim = say("dashed, {estimate}: cut long, trim to fit", estimate=ESTIMATE)
        across = f"{across}; {trim}"
    return [
        lengths,
        say("at: from the datum; figures beside the rope: each run"),
        say("Boxes connectors, rings breakouts, diamonds splices"),
        across,
    ]


def _write_notes(canvas: Canvas, at: Point, lines: Sequence[str], room: float) -> None:
    for n, line in enumerate(lines):
        canvas.text(at[0], at[1] + n * NOTE_MM, fitted(line, SMALL_MM, room))


def layouts(result: Sized) -> BySubject:
    """Harness -> its layout to scale."""
    found = [h for h in result.vehicle.description.rope if runs_of(result, h)]
    return BySubject(found, lambda harness: (layout(result, harness),))

"""Harness layout: the harness on its board to scale, on the smallest framed sheet that holds it."""

from __future__ import annotations

from itertools import product

from buildbook.drawing.harness.board import Formboard
from buildbook.drawing.harness.label_placing import Label, label_all, label_most, write_labels
from buildbook.drawing.harness.labels import point_labels, run_labels, splice_labels
from buildbook.drawing.harness.plot import Plot, draw_harness, formboard_of, keep_line, runs_of
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.by_subject import BySubject
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.clear import Point
from buildbook.drawing.shared.lettering import SMALL_MM, fitted
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.scales import scales_from
from buildbook.drawing.shared.sheet import Title, frame, inside
from buildbook.figures import ESTIMATE
from buildbook.sizing.stage import Sized

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
MARGINS_MM = ((10.0, 8.0), (20.0, 10.0), (30.0, 11.0))
"""Kept free on paper left and right, above and below the harness, for the labels of its ends:
the least with which they all find room."""
SHEET_STEPS = 9
"""Sheet sizes tried, each twice the area of the one before."""


def layout(result: Sized, harness: str) -> Drawing:
    """One harness's layout on the smallest framed sheet that holds it.

    Sheets grow by a step of the A series, sqrt(2), until every label has a place in some order;
    of several orders the one with the fewest leaders across a rope is taken. What has no place on
    the largest either is left out, and the drawing says so.
    """
    formboard = formboard_of(result, harness)
    for step, margin in product(range(SHEET_STEPS), MARGINS_MM):
        size = (SHEET_MM[0] * 2 ** (step / 2), SHEET_MM[1] * 2 ** (step / 2))
        plot = _unlabelled(result, harness, formboard, size, margin)
        placed = label_all(plot, _labels(plot))
        if placed:
            break
    else:
        placed = label_most(plot, _labels(plot))
    write_labels(plot, placed)
    _notes(plot)
    return plot.canvas.drawing(f"layout-{harness}", _title(result, harness))


def _labels(plot: Plot) -> tuple[Label, ...]:
    """What is said on the sheet, in the order in which it is placed."""
    return (*run_labels(plot), *splice_labels(plot), *point_labels(plot))


def _title(result: Sized, harness: str) -> str:
    title = result.vehicle.description.rope[harness].title
    return f"{title or harness + ' harness'}: layout"


def _unlabelled(
    result: Sized,
    harness: str,
    formboard: Formboard,
    size: tuple[float, float],
    margin: tuple[float, float],
) -> Plot:
    """The harness on a framed sheet of a size."""
    canvas = Canvas(*size)
    vehicle = result.vehicle.description.vehicle
    scale, origin = _placed(formboard, inside(canvas), margin)
    inner = frame(
        canvas,
        Title(
            vehicle.name,
            _title(result, harness),
            harness,
            vehicle.revision,
            str(vehicle.date),
            name=f"layout-{harness}",
            scale=f"1:{scale:g}",
        ),
    )
    plot = Plot(
        canvas, formboard, result, harness, runs_of(result, harness), scale, origin, SMALL_MM, inner
    )
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


def _notes(plot: Plot) -> None:
    """What the drawing means, left of the title block."""
    formboard = plot.formboard
    board = f"{formboard.board.w:.0f} × {formboard.board.h:.0f}"
    lines = [
        f"Lengths in mm; board {board}" + (" (larger)" if formboard.needs_more else ""),
        "at: from the datum; figures beside the rope: each run",
        "Boxes connectors, rings breakouts, diamonds splices",
        "Strokes across: clamps"
        + (
            f"; dashed, {ESTIMATE}: cut long, trim to fit"
            if any(r.estimated for r in plot.runs)
            else ""
        ),
    ]
    for n, line in enumerate(lines):
        y = plot.canvas.height - 16.6 + n * 3.4
        plot.canvas.text(plot.area.x, y, fitted(line, SMALL_MM, 76))


def layouts(result: Sized) -> BySubject:
    """Harness -> its layout to scale."""
    found = [h for h in result.vehicle.description.rope if runs_of(result, h)]
    return BySubject(found, lambda harness: (layout(result, harness),))

"""A harness at full size: 1 : 1 on its whole board, with dimensions and a rule along it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from buildbook.drawing.harness.board import Formboard, along, line_mm
from buildbook.drawing.harness.label_placing import label_most, write_labels
from buildbook.drawing.harness.labels import point_labels, run_labels, splice_labels
from buildbook.drawing.harness.laying_labels import draw_sections, laying_labels
from buildbook.drawing.harness.plot import (
    FULL_TEXT_MM,
    Plot,
    beyond_rope,
    draw_harness,
    formboard_of,
    keep_line,
    marks_along,
    runs_of,
    stroke_across,
)
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.clear import Point, crosses
from buildbook.drawing.shared.lettering import label_box
from buildbook.drawing.shared.model import Drawing
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run
from buildbook.words.say import say

RULE_TEXT_MM = 4.0
DIMENSION_MM = 14.0
"""Distance of a dimension line from its run on the full-size drawing."""
CLEAR_MM = 7.0
"""Least distance of a dimension line or a figure from the skin of the rope."""
FIGURE_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Places along a dimension line at which its figure is tried."""
LEAST_DIMENSION_MM = 60.0
"""Runs shorter than this have their length as a label only."""


@dataclass(frozen=True)
class FullSize:
    """A harness drawn 1 : 1 on its whole board."""

    drawing: Drawing
    formboard: Formboard
    inked: tuple[Box, ...]
    """Boxes on the board that hold every mark and letter."""


def full_size(result: Sized, harness: str) -> FullSize:
    """One harness 1 : 1 on its whole board, to lie under the work."""
    formboard = formboard_of(result, harness)
    canvas = Canvas(formboard.board.w, formboard.board.h)
    called = result.vehicle.description.rope[harness].title or harness
    title = say("{harness}: full size", harness=called)
    inner = Box(4.0, 4.0, formboard.board.w - 8.0, formboard.board.h - 8.0)
    plot = Plot(
        canvas,
        formboard,
        result,
        harness,
        runs_of(result, harness),
        1.0,
        (0.0, 0.0),
        FULL_TEXT_MM,
        inner,
    )
    draw_harness(plot)
    for run in plot.runs:
        _dimension(plot, run)
    for run in plot.runs:
        _rule(plot, run)
    labels = (*point_labels(plot), *splice_labels(plot), *run_labels(plot))
    placed = label_most(plot, (*labels, *laying_labels(plot)))
    write_labels(plot, placed)
    draw_sections(plot, placed)
    drawing = canvas.drawing(f"full-size-{harness}", title)
    return FullSize(drawing, formboard, tuple(canvas.taken))


def _dimension(plot: Plot, run: Run) -> None:
    """A dimension line beside a straight run, from end to end, with its length."""
    path = plot.path(run)
    length = line_mm(path)
    straight = math.dist(path[0], path[-1]) > length - 0.01
    if not straight or length < LEAST_DIMENSION_MM:
        return
    _, heading = along(path, 0.0)
    u, v = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    if (v, u) < (0.0, 0.0):
        u, v = -u, -v
        path = path[::-1]
    figure, size = plot.result.vehicle.measures.bare_m(run.length_m), plot.text_mm
    away = beyond_rope(plot, run, DIMENSION_MM, CLEAR_MM)
    tried = [
        ((-v * side, u * side), share)
        for side in (away, -away, 2 * away, -2 * away)
        for share in FIGURE_SHARES
    ]
    off, share = next((t for t in tried if _is_clear(plot, path, *t, figure)), tried[0])
    a, b = _ends(path, off)
    plot.canvas.line([a, b], 0.3, class_="dimension")
    for extension in _extensions(path, off):
        plot.canvas.line(extension, 0.2, class_="extension")
        keep_line(plot, extension, 0.2)
        for x, y in (along(extension, mark)[0] for mark in marks_along(line_mm(extension), 1.0)):
            plot.canvas.block(Box(x - 0.5, y - 0.5, 1.0, 1.0))
    for ex, ey in (a, b):
        stop = [(ex - 2 * (u - v), ey - 2 * (u + v)), (ex + 2 * (u - v), ey + 2 * (u + v))]
        plot.canvas.line(stop, 0.6, class_="stop")
    x, y = _shared(path, off, share)
    plot.figures.append(
        plot.canvas.text(
            x, y + 0.36 * size, figure, size, "middle", bold=True, halo=True, class_="figure"
        )
    )
    for mark in marks_along(length, 4.0):
        x, y = a[0] + u * mark, a[1] + v * mark
        plot.canvas.block(Box(x - 2, y - 2, 4, 4))


def _shared(path: Sequence[Point], off: Point, share: float) -> Point:
    """A place along a straight path's length, moved aside."""
    (ax, ay), (bx, by) = path[0], path[-1]
    return ax + (bx - ax) * share + off[0], ay + (by - ay) * share + off[1]


def _ends(path: Sequence[Point], off: Point) -> tuple[Point, Point]:
    return _shared(path, off, 0.0), _shared(path, off, 1.0)


def _extensions(path: Sequence[Point], off: Point) -> list[tuple[Point, Point]]:
    """From the ends of a straight path to a little beyond its dimension line."""
    ends = zip((path[0], path[-1]), _ends(path, off), strict=True)
    return [(near, (x + 0.2 * off[0], y + 0.2 * off[1])) for near, (x, y) in ends]


def _is_clear(plot: Plot, path: Sequence[Point], off: Point, share: float, figure: str) -> bool:
    """Whether a dimension's figure lies on no line of another, nor its lines on another figure."""
    x, y = _shared(path, off, share)
    box = label_box(x, y + 0.36 * plot.text_mm, figure, plot.text_mm, "middle", bold=True)
    if any(crosses(a, b, box.grown(half)) for a, b, half in plot.lines):
        return False
    return not any(
        crosses(*line, other) for line in _extensions(path, off) for other in plot.figures
    )


def _rule(plot: Plot, run: Run) -> None:
    """Marks along the rope at even distances from the datum, the figure beside each."""
    path = plot.path(run)
    first, last = (plot.formboard.from_datum_mm[p] for p in (run.from_point, run.to_point))
    if last < first:
        path, first, last = path[::-1], last, first
    units = plot.result.vehicle.measures
    mark = math.ceil((first + 1e-6) / units.rule_mm) * units.rule_mm
    near = beyond_rope(plot, run, 10.0, CLEAR_MM)
    while mark < last - 1e-6:
        stroke_across(plot, path, mark - first, beyond_rope(plot, run, 4.5), 0.3, "rule")
        (x, y), heading = along(path, mark - first)
        u, v = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        spots = [
            (x + v * off + u * on, y - u * off + v * on + 1.5)
            for off in (near, -near, near + 4, -near - 4)
            for on in (0, 6, -6, 12, -12, 18, -18)
        ]
        figure = units.bare(mark)
        spots = [at for at in spots if _is_off_lines(plot, at, figure)] or spots
        box = plot.canvas.place(figure, spots, RULE_TEXT_MM, "middle", class_="rule-figure")
        plot.figures.extend([box] if box else [])
        mark += units.rule_mm


def _is_off_lines(plot: Plot, at: Point, figure: str) -> bool:
    """Whether a mark's figure lies on no rope."""
    box = label_box(*at, figure, RULE_TEXT_MM, "middle")
    return not any(crosses(a, b, box.grown(half)) for a, b, half in plot.lines)

"""A harness drawn from its board onto paper: rope, clamps, points and splices."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from buildbook.drawing.harness.board import Formboard, along, lay_on_board, line_mm
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.clear import Point
from buildbook.drawing.shared.lettering import SMALL_MM
from buildbook.harness.model import Splice
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Run

FULL_TEXT_MM = 5.0
"""Letter size of the full-size drawing: read while standing at a bench."""
SKIN_MM, LEAST_ROPE_MM = 0.35, 2.0
"""Line that bounds the rope at full size, and the least width at which it is drawn."""
LEADER_GAP_MM = 0.3
"""Kept between a leader and what it passes."""
SPLICED = 1.6
"""Size of a breakout, connector or end over its usual one where a splice lies on it."""
DIAMOND_MM = (0.8, 1.5)
"""Half of a splice's diagonal, least and most."""


@dataclass(frozen=True)
class Plot:
    """A harness being drawn: what it is, and how the board becomes paper."""

    canvas: Canvas
    formboard: Formboard
    result: Sized
    harness: str
    runs: tuple[Run, ...]
    scale: float
    origin: Point
    """Where the board's upper left corner lies on paper."""
    text_mm: float
    area: Box
    """Labels stay in here."""
    things: list[Box] = field(default_factory=list)
    """Symbols and a little round them: no leader to something else crosses them."""
    lines: list[tuple[Point, Point, float]] = field(default_factory=list)
    """Rope, extension lines, the board's edge, and the half of their widths: no label lies on
    them."""
    figures: list[Box] = field(default_factory=list)
    """Figures of the dimensions."""

    @property
    def is_full_size(self) -> bool:
        return self.text_mm == FULL_TEXT_MM

    @property
    def k(self) -> float:
        """Sizes of marks over those on the book's sheet."""
        return self.text_mm / SMALL_MM

    def paper(self, spot: Point) -> Point:
        return self.origin[0] + spot[0] / self.scale, self.origin[1] + spot[1] / self.scale

    def path(self, run: Run) -> list[Point]:
        """A run's line on paper, from its first point."""
        return [self.paper(spot) for spot in self.formboard.paths[run.id]]

    def ends(self) -> set[str]:
        """Points with one run."""
        met = [p for run in self.runs for p in (run.from_point, run.to_point)]
        return {p for p in met if met.count(p) == 1}


def runs_of(result: Sized, harness: str) -> tuple[Run, ...]:
    return tuple(run for run in result.vehicle.runs if run.harness == harness)


def formboard_of(result: Sized, harness: str) -> Formboard:
    """One harness on the author's board."""
    wide, high = result.vehicle.description.vehicle.board
    return lay_on_board(runs_of(result, harness), (wide * 1000, high * 1000))


def draw_harness(plot: Plot) -> None:
    """Rope, clamps, points and splices; keeps labels off them."""
    fullest = max((_wires(plot, run) for run in plot.runs), default=1)
    for run in plot.runs:
        _draw_run(plot, run, _weight(plot, run, fullest))
    if plot.is_full_size:
        for run in plot.runs:
            core = max(_weight(plot, run, fullest) - 2 * SKIN_MM, 0.2)
            dash = "12 8" if run.estimated else ""
            plot.canvas.line(plot.path(run), core, "#ffffff", dash=dash, class_="core")
    for run in plot.runs:
        _draw_clamps(plot, run)
    _draw_points(plot)
    splices = splice_places(plot)
    for spot in splices:
        _diamond(plot, spot, splices)


def _wires(plot: Plot, run: Run) -> int:
    bundle = plot.result.harness.bundles.get(run.id)
    return len(bundle.wires) if bundle else 0


def _weight(plot: Plot, run: Run, fullest: int) -> float:
    """Width of a run on paper: at full size as thick as it is, else heavier with more wires."""
    piece = plot.result.finished_runs.get(run.id)
    if plot.is_full_size:
        return max(piece.outside_mm if piece else 0.0, LEAST_ROPE_MM)
    return 0.6 + math.sqrt(_wires(plot, run) / max(fullest, 1))


def _draw_run(plot: Plot, run: Run, weight: float) -> None:
    """The rope; keeps labels off it."""
    path = plot.path(run)
    dash = "2.6 2" if run.estimated and not plot.is_full_size else ""
    plot.canvas.line(path, weight, dash=dash, class_="run")
    keep_line(plot, path, weight)
    half = max(weight / 2, 0.6)
    for mark in marks_along(line_mm(path), 1.6 * half):
        (x, y), _ = along(path, mark)
        plot.canvas.block(Box(x - half, y - half, 2 * half, 2 * half))


def marks_along(length: float, step: float) -> list[float]:
    """Distances from 0 to a length, both in it, at most a step apart."""
    count = max(1, math.ceil(length / step))
    return [length * n / count for n in range(count + 1)]


def stroke_across(
    plot: Plot, path: list[Point], mark: float, half: float, weight: float, class_: str
) -> None:
    """A stroke across the rope at a distance along it."""
    (x, y), heading = along(path, mark)
    ux, uy = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    ends = [(x + uy * half, y - ux * half), (x - uy * half, y + ux * half)]
    plot.canvas.line(ends, weight, class_=class_)
    wide, high = abs(uy) * half + 0.3, abs(ux) * half + 0.3
    plot.canvas.block(Box(x - wide, y - high, 2 * wide, 2 * high))


def beyond_rope(plot: Plot, run: Run, least: float, clear: float = 2.0) -> float:
    """Distance from the rope's middle: `least`, or `clear` of a thick rope drawn full size."""
    piece = plot.result.finished_runs.get(run.id)
    if not plot.is_full_size or piece is None:
        return least
    return max(least, piece.outside_mm / 2 + clear)


def _draw_clamps(plot: Plot, run: Run) -> None:
    path = plot.path(run)
    for n in range(1, run.clamps + 1):
        mark = line_mm(path) * n / (run.clamps + 1)
        stroke_across(plot, path, mark, beyond_rope(plot, run, 1.9 * plot.k), 0.5 * plot.k, "clamp")


def _draw_points(plot: Plot) -> None:
    """Breakouts as rings, connectors as boxes, other ends as dots; larger under a splice."""
    canvas, plugs = plot.canvas, _connector_points(plot)
    for point, spot in plot.formboard.places.items():
        x, y = plot.paper(spot)
        k = point_scale(plot, (x, y))
        if point in plugs:
            _box(plot, point, (x, y), k)
        elif point in plot.ends():
            canvas.circle(x, y, 1.0 * k, 0.35 * plot.k, fill="#000000", class_="end")
        else:
            canvas.circle(x, y, 1.3 * k, 0.35 * plot.k, fill="#ffffff", class_="breakout")
        keep_symbol(plot, (x, y), (1.9 if point in plugs else 1.4) * k)


def point_scale(plot: Plot, spot: Point) -> float:
    """Size of a point's symbol over that on the book's sheet."""
    spliced = any(math.dist(spot, splice) < plot.k for splice in splice_places(plot))
    return plot.k * (SPLICED if spliced else 1.0)


def keep_symbol(plot: Plot, spot: Point, reach: float) -> None:
    """Keeps labels and leaders off a symbol."""
    box = Box(spot[0] - reach, spot[1] - reach, 2 * reach, 2 * reach)
    plot.canvas.block(box)
    plot.things.append(box.grown(LEADER_GAP_MM))


def keep_line(plot: Plot, path: Sequence[Point], weight: float) -> None:
    """Keeps labels off a line."""
    plot.lines.extend((a, b, weight / 2) for a, b in pairwise(path))


def _connector_points(plot: Plot) -> set[str]:
    """Points at which wires of the harness go into connectors."""
    wires = [w for w in plot.result.harness.wires.values() if w.harness == plot.harness]
    return {end.point for wire in wires for end in (wire.a, wire.b) if end.connector}


def _box(plot: Plot, point: str, at: Point, k: float) -> None:
    """A connector: a box in line with the rope that comes to it."""
    run = next(r for r in plot.runs if point in (r.from_point, r.to_point))
    path = plot.path(run)
    _, heading = along(path, line_mm(path) if run.to_point == point else 0.0)
    u, v = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    long, wide = 1.7 * k, 1.2 * k
    corners = [
        (at[0] + a * long * u - b * wide * v, at[1] + a * long * v + b * wide * u)
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    d = "M " + " L ".join(f"{x:.3f} {y:.3f}" for x, y in corners) + " Z"
    plot.canvas.path(d, 0.35 * plot.k, fill="#ffffff", class_="connector")


def splices_of(plot: Plot) -> list[Splice]:
    return [s for s in plot.result.harness.splices.values() if s.harness == plot.harness]


def splice_place(formboard: Formboard, splice: Splice) -> Point:
    """Where a splice lies on the board: off its point along its run."""
    path = formboard.paths.get(splice.run)
    if path is None:
        return formboard.places[splice.point]
    outward = path if math.dist(path[0], formboard.places[splice.point]) < 1e-6 else path[::-1]
    return along(outward, min(abs(splice.offset_m) * 1000, line_mm(path)))[0]


def splice_places(plot: Plot) -> list[Point]:
    """Where the splices are on paper."""
    return [plot.paper(splice_place(plot.formboard, splice)) for splice in splices_of(plot)]


def diamond_mm(plot: Plot, spot: Point, others: Sequence[Point]) -> float:
    """Half of a splice's diagonal: less where the next one would lie on it."""
    near = min((math.dist(spot, other) for other in others if other != spot), default=math.inf)
    return max(DIAMOND_MM[0], min(DIAMOND_MM[1], near / plot.k / 2 - 0.2)) * plot.k


def _diamond(plot: Plot, spot: Point, others: Sequence[Point]) -> None:
    x, y = spot
    r = diamond_mm(plot, spot, others)
    keep_symbol(plot, spot, r)
    plot.canvas.path(
        f"M {x - r:.3f} {y:.3f} L {x:.3f} {y - r:.3f} L {x + r:.3f} {y:.3f} "
        f"L {x:.3f} {y + r:.3f} Z",
        0.35 * plot.k,
        fill="#ffffff",
        class_="splice",
    )

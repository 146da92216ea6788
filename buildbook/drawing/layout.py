"""Harness layouts: the harness on its board at true length, small for the book or full size."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, permutations

from buildbook.drawing.board import Flat, Spot, along, lay_flat, line_mm
from buildbook.drawing.clear import crosses
from buildbook.drawing.model import SHEET_MM, Drawing
from buildbook.drawing.sheet import (
    GREY,
    SMALL_MM,
    Box,
    Canvas,
    Title,
    fitted,
    frame,
    inside,
    label_box,
    text_width_mm,
    wrapped,
)
from buildbook.drawing.tree import fixtures
from buildbook.harness.model import Splice
from buildbook.result import Result
from buildbook.vehicle.model import Run

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
LINE_EM = 1.19
"""Distance between lines of a label over its letter size."""
TAG_EM = 13.0
"""Widest line of a label over its letter size."""
MARGIN_MM = (30.0, 11.0)
"""Kept free on paper left and right, above and below the harness, for the labels of its ends."""
SHEET_STEPS = 9
"""Sheet sizes tried, each twice the area of the one before."""
FULL_TEXT_MM = 5.0
"""Letter size of the full-size drawing: read while standing at a bench."""
SKIN_MM, LEAST_ROPE_MM = 0.35, 2.0
"""Line that bounds the rope at full size, and the least width at which it is drawn."""
RULE_MM = 100.0
"""Distance between the marks along the rope of the full-size drawing."""
RULE_TEXT_MM = 4.0
DIMENSION_MM = 14.0
"""Distance of a dimension line from its run on the full-size drawing."""
CLEAR_MM = 7.0
"""Least distance of a dimension line or a figure from the skin of the rope."""
FIGURE_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Places along a dimension line at which its figure is tried."""
LEADER_GAP_MM = 0.3
TURNS = 48
"""Directions in which a label is tried."""
NEAR_RINGS = 2
"""Rings of places round a mark at which its label needs no leader."""
LEAST_DIMENSION_MM = 60.0
"""Runs shorter than this have their length as a label only."""


@dataclass(frozen=True)
class Plot:
    """A harness being drawn: what it is, and how the board becomes paper."""

    canvas: Canvas
    flat: Flat
    result: Result
    harness: str
    runs: tuple[Run, ...]
    scale: float
    origin: Spot
    """Where the board's upper left corner lies on paper."""
    text_mm: float
    area: Box
    """Labels stay in here."""
    things: list[Box] = field(default_factory=list)
    """Symbols and labels: no leader to something else crosses them."""
    lines: list[tuple[Spot, Spot, float]] = field(default_factory=list)
    """Rope, leaders, extension lines, the board's edge, and the half of their widths: no label
    lies on them."""
    figures: list[Box] = field(default_factory=list)
    """Figures of the dimensions."""

    @property
    def is_full_size(self) -> bool:
        return self.text_mm == FULL_TEXT_MM

    @property
    def k(self) -> float:
        """Sizes of marks over those on the book's sheet."""
        return self.text_mm / SMALL_MM

    def paper(self, spot: Spot) -> Spot:
        return self.origin[0] + spot[0] / self.scale, self.origin[1] + spot[1] / self.scale

    def path(self, run: Run) -> list[Spot]:
        """A run's line on paper, from its first point."""
        return [self.paper(spot) for spot in self.flat.paths[run.id]]

    def ends(self) -> set[str]:
        """Points with one run."""
        met = [p for run in self.runs for p in (run.from_point, run.to_point)]
        return {p for p in met if met.count(p) == 1}


class NoRoom(ValueError):
    """A label that found no free place."""


def runs_of(result: Result, harness: str) -> tuple[Run, ...]:
    return tuple(run for run in result.vehicle.runs if run.harness == harness)


def flat_of(result: Result, harness: str) -> Flat:
    """One harness on the author's board."""
    wide, high = result.vehicle.description.vehicle.board
    return lay_flat(runs_of(result, harness), (wide * 1000, high * 1000))


def layout(result: Result, harness: str) -> Drawing:
    """One harness's layout on the smallest framed sheet that holds it.

    Sheets grow by a step of the A series, sqrt(2), until every label has a place in some order.
    """
    flat = flat_of(result, harness)
    for step in range(SHEET_STEPS):
        size = (SHEET_MM[0] * 2 ** (step / 2), SHEET_MM[1] * 2 ** (step / 2))
        for order in permutations((_label_runs, _label_points, _label_splices)):
            try:
                return _layout_on(result, harness, flat, size, order)
            except NoRoom:
                continue
    raise NoRoom(f"the rope of {harness} does not fit a sheet of {size[0]:.0f} mm")


def _layout_on(
    result: Result, harness: str, flat: Flat, size: tuple[float, float],
    order: Sequence[Callable[[Plot], None]],
) -> Drawing:  # fmt: skip
    """The layout on a sheet of a size; what is labelled first has its labels nearest."""
    canvas = Canvas(*size)
    written = result.vehicle.description
    title = f"{written.rope[harness].title or harness + ' harness'}: layout"
    vehicle = written.vehicle
    scale, origin = _placed(flat, inside(canvas))
    inner = frame(
        canvas,
        Title(vehicle.name, title, harness, vehicle.revision, str(vehicle.date),
              name=f"layout-{harness}", scale=f"1:{scale:g}"),
    )  # fmt: skip
    plot = Plot(canvas, flat, result, harness, runs_of(result, harness), scale, origin,
                SMALL_MM, inner)  # fmt: skip
    _board_edge(plot)
    _draw_harness(plot)
    for label in order:
        label(plot)
    _notes(plot, inner)
    return canvas.drawing(f"layout-{harness}", title)


@dataclass(frozen=True)
class FullSize:
    """A harness drawn 1 : 1 on its whole board."""

    drawing: Drawing
    flat: Flat
    inked: tuple[Box, ...]
    """Boxes on the board that hold every mark and letter."""


def full_size(result: Result, harness: str) -> FullSize:
    """One harness 1 : 1 on its whole board, to lie under the work."""
    flat = flat_of(result, harness)
    canvas = Canvas(flat.board.w, flat.board.h)
    title = f"{result.vehicle.description.rope[harness].title or harness}: full size"
    inner = Box(4.0, 4.0, flat.board.w - 8.0, flat.board.h - 8.0)
    plot = Plot(canvas, flat, result, harness, runs_of(result, harness), 1.0, (0.0, 0.0),
                FULL_TEXT_MM, inner)  # fmt: skip
    _draw_harness(plot)
    for run in plot.runs:
        _dimension(plot, run)
    for run in plot.runs:
        _rule(plot, run)
    _label_points(plot)
    _label_splices(plot)
    _label_runs(plot)
    drawing = canvas.drawing(f"full-size-{harness}", title)
    return FullSize(drawing, flat, tuple(canvas.taken))


def _placed(flat: Flat, inner: Box) -> tuple[float, Spot]:
    """Largest scale at which the harness fits the sheet, and the board's corner on paper."""
    extent = flat.extent()
    wide, high = inner.w - 2 * MARGIN_MM[0], inner.h - 2 * MARGIN_MM[1]
    scale = next(
        (s for s in SCALES if extent.w / s <= wide and extent.h / s <= high), SCALES[-1]
    )
    x = inner.x + (inner.w - extent.w / scale) / 2 - extent.x / scale
    y = inner.y + (inner.h - extent.h / scale) / 2 - extent.y / scale
    return scale, (x, y)


def _board_edge(plot: Plot) -> None:
    """The board's outline, where the whole board is on the sheet."""
    x, y = plot.origin
    edge = Box(x, y, plot.flat.board.w / plot.scale, plot.flat.board.h / plot.scale)
    if plot.area.holds(edge):
        plot.canvas.rect(edge, 0.25, colour=GREY, dash="4 2", class_="board")
        corners = [(edge.x, edge.y), (edge.right, edge.y), (edge.right, edge.bottom),
                   (edge.x, edge.bottom)]  # fmt: skip
        _keep_line(plot, [*corners, corners[0]], 0.25)


def _draw_harness(plot: Plot) -> None:
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
    for splice in _splices(plot):
        _diamond(plot, splice_spot(plot.flat, splice))


def _wires(plot: Plot, run: Run) -> int:
    bundle = plot.result.harness.bundles.get(run.id)
    return len(bundle.wires) if bundle else 0


def _weight(plot: Plot, run: Run, fullest: int) -> float:
    """Width of a run on paper: at full size as thick as it is, else heavier with more wires."""
    piece = plot.result.dressed.get(run.id)
    if plot.is_full_size:
        return max(piece.outside_mm if piece else 0.0, LEAST_ROPE_MM)
    return 0.6 + math.sqrt(_wires(plot, run) / max(fullest, 1))


def _draw_run(plot: Plot, run: Run, weight: float) -> None:
    """The rope; keeps labels off it."""
    path = plot.path(run)
    dash = "2.6 2" if run.estimated and not plot.is_full_size else ""
    plot.canvas.line(path, weight, dash=dash, class_="run")
    _keep_line(plot, path, weight)
    half = max(weight / 2, 0.6)
    for mark in _marks(line_mm(path), 1.6 * half):
        (x, y), _ = along(path, mark)
        plot.canvas.block(Box(x - half, y - half, 2 * half, 2 * half))


def _marks(length: float, step: float) -> list[float]:
    """Distances from 0 to a length, both in it, at most a step apart."""
    count = max(1, math.ceil(length / step))
    return [length * n / count for n in range(count + 1)]


def _across(plot: Plot, path: list[Spot], mark: float, half: float, weight: float,
            class_: str) -> None:  # fmt: skip
    """A stroke across the rope at a distance along it."""
    (x, y), heading = along(path, mark)
    ux, uy = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    ends = [(x + uy * half, y - ux * half), (x - uy * half, y + ux * half)]
    plot.canvas.line(ends, weight, class_=class_)
    wide, high = abs(uy) * half + 0.3, abs(ux) * half + 0.3
    plot.canvas.block(Box(x - wide, y - high, 2 * wide, 2 * high))


def _beyond(plot: Plot, run: Run, least: float, clear: float = 2.0) -> float:
    """Distance from the rope's middle: `least`, or `clear` of a thick rope drawn full size."""
    piece = plot.result.dressed.get(run.id)
    if not plot.is_full_size or piece is None:
        return least
    return max(least, piece.outside_mm / 2 + clear)


def _draw_clamps(plot: Plot, run: Run) -> None:
    path = plot.path(run)
    for n in range(1, run.clamps + 1):
        mark = line_mm(path) * n / (run.clamps + 1)
        _across(plot, path, mark, _beyond(plot, run, 1.9 * plot.k), 0.5 * plot.k, "clamp")


def _draw_points(plot: Plot) -> None:
    """Breakouts as rings, connectors as boxes, other ends as dots."""
    canvas, k = plot.canvas, plot.k
    plugs = _connector_points(plot)
    for point, spot in plot.flat.spots.items():
        x, y = plot.paper(spot)
        if point in plugs:
            _box(plot, point, (x, y))
        elif point in plot.ends():
            canvas.circle(x, y, 1.0 * k, 0.35 * k, fill="#000000", class_="end")
        else:
            canvas.circle(x, y, 1.3 * k, 0.35 * k, fill="#ffffff", class_="breakout")
        _keep(plot, (x, y), (1.9 if point in plugs else 1.4) * k)


def _keep(plot: Plot, spot: Spot, reach: float) -> None:
    """Keeps labels and leaders off a symbol."""
    box = Box(spot[0] - reach, spot[1] - reach, 2 * reach, 2 * reach)
    plot.canvas.block(box)
    plot.things.append(box)


def _keep_line(plot: Plot, path: Sequence[Spot], weight: float) -> None:
    """Keeps labels off a line."""
    plot.lines.extend((a, b, weight / 2) for a, b in pairwise(path))


def _connector_points(plot: Plot) -> set[str]:
    """Points at which wires of the harness go into connectors."""
    wires = [w for w in plot.result.harness.wires.values() if w.harness == plot.harness]
    return {end.point for wire in wires for end in (wire.a, wire.b) if end.connector}


def _box(plot: Plot, point: str, at: Spot) -> None:
    """A connector: a box in line with the rope that comes to it."""
    run = next(r for r in plot.runs if point in (r.from_point, r.to_point))
    path = plot.path(run)
    _, heading = along(path, line_mm(path) if run.to_point == point else 0.0)
    u, v = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    long, wide = 1.7 * plot.k, 1.2 * plot.k
    corners = [(at[0] + a * long * u - b * wide * v, at[1] + a * long * v + b * wide * u)
               for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]  # fmt: skip
    d = "M " + " L ".join(f"{x:.3f} {y:.3f}" for x, y in corners) + " Z"
    plot.canvas.path(d, 0.35 * plot.k, fill="#ffffff", class_="connector")


def _splices(plot: Plot) -> list[Splice]:
    return [s for s in plot.result.harness.splices.values() if s.harness == plot.harness]


def splice_spot(flat: Flat, splice: Splice) -> Spot:
    """Where a splice lies on the board: off its point along its run."""
    path = flat.paths.get(splice.run)
    if path is None:
        return flat.spots[splice.point]
    outward = path if math.dist(path[0], flat.spots[splice.point]) < 1e-6 else path[::-1]
    return along(outward, min(abs(splice.offset_m) * 1000, line_mm(path)))[0]


def _diamond(plot: Plot, spot: Spot) -> None:
    x, y = plot.paper(spot)
    r = 1.5 * plot.k
    _keep(plot, (x, y), r)
    plot.canvas.path(f"M {x - r:.3f} {y:.3f} L {x:.3f} {y - r:.3f} L {x + r:.3f} {y:.3f} "
                     f"L {x:.3f} {y + r:.3f} Z", 0.35 * plot.k, fill="#ffffff",
                     class_="splice")  # fmt: skip


def _dimension(plot: Plot, run: Run) -> None:
    """A dimension line beside a straight run, from end to end, with its length in mm."""
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
    figure, size = f"{run.length_m * 1000:.0f}", plot.text_mm
    away = _beyond(plot, run, DIMENSION_MM, CLEAR_MM)
    tried = [((-v * side, u * side), share) for side in (away, -away, 2 * away, -2 * away)
             for share in FIGURE_SHARES]  # fmt: skip
    off, share = next((t for t in tried if _is_clear(plot, path, *t, figure)), tried[0])
    a, b = _ends(path, off)
    plot.canvas.line([a, b], 0.3, class_="dimension")
    for extension in _extensions(path, off):
        plot.canvas.line(extension, 0.2, class_="extension")
        _keep_line(plot, extension, 0.2)
        for x, y in (along(extension, mark)[0] for mark in _marks(line_mm(extension), 1.0)):
            plot.canvas.block(Box(x - 0.5, y - 0.5, 1.0, 1.0))
    for ex, ey in (a, b):
        stop = [(ex - 2 * (u - v), ey - 2 * (u + v)), (ex + 2 * (u - v), ey + 2 * (u + v))]
        plot.canvas.line(stop, 0.6, class_="stop")
    x, y = _shared(path, off, share)
    plot.figures.append(plot.canvas.text(
        x, y + 0.36 * size, figure, size, "middle", bold=True, halo=True, class_="figure"
    ))  # fmt: skip
    for mark in _marks(length, 4.0):
        x, y = a[0] + u * mark, a[1] + v * mark
        plot.canvas.block(Box(x - 2, y - 2, 4, 4))


def _shared(path: Sequence[Spot], off: Spot, share: float) -> Spot:
    """A place along a straight path's length, moved aside."""
    (ax, ay), (bx, by) = path[0], path[-1]
    return ax + (bx - ax) * share + off[0], ay + (by - ay) * share + off[1]


def _ends(path: Sequence[Spot], off: Spot) -> tuple[Spot, Spot]:
    return _shared(path, off, 0.0), _shared(path, off, 1.0)


def _extensions(path: Sequence[Spot], off: Spot) -> list[list[Spot]]:
    """From the ends of a straight path to a little beyond its dimension line."""
    ends = zip((path[0], path[-1]), _ends(path, off), strict=True)
    return [[near, (x + 0.2 * off[0], y + 0.2 * off[1])] for near, (x, y) in ends]


def _is_clear(plot: Plot, path: Sequence[Spot], off: Spot, share: float, figure: str) -> bool:
    """Whether a dimension's figure lies on no line of another, nor its lines on another figure."""
    x, y = _shared(path, off, share)
    box = label_box(x, y + 0.36 * plot.text_mm, figure, plot.text_mm, "middle", bold=True)
    if any(crosses(a, b, _grown(box, half)) for a, b, half in plot.lines):
        return False
    return not any(crosses(*line, other) for line in _extensions(path, off)
                   for other in plot.figures)  # fmt: skip


def _rule(plot: Plot, run: Run) -> None:
    """Marks along the rope every 100 mm from the datum, the figure beside each."""
    path = plot.path(run)
    first, last = (plot.flat.from_datum_mm[p] for p in (run.from_point, run.to_point))
    if last < first:
        path, first, last = path[::-1], last, first
    mark = math.ceil((first + 1e-6) / RULE_MM) * RULE_MM
    near = _beyond(plot, run, 10.0, CLEAR_MM)
    while mark < last - 1e-6:
        _across(plot, path, mark - first, _beyond(plot, run, 4.5), 0.3, "rule")
        (x, y), heading = along(path, mark - first)
        u, v = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        spots = [(x + v * off + u * on, y - u * off + v * on + 1.5)
                 for off in (near, -near, near + 4, -near - 4) for on in (0, 6, -6)]  # fmt: skip
        plot.canvas.place(f"{mark:.0f}", spots, RULE_TEXT_MM, "middle", class_="rule-figure")
        mark += RULE_MM


def _label_runs(plot: Plot) -> None:
    """The length of every run beside it, with its cover."""
    for run in plot.runs:
        path = plot.path(run)
        text = f"{run.length_m * 1000:.0f}" + (" est." if run.estimated else "")
        piece = plot.result.dressed.get(run.id)
        cover = piece.sleeve.id if piece and piece.sleeve else ""
        middle = [along(path, line_mm(path) * t)[0] for t in (0.5, 0.35, 0.65, 0.8)]
        _beside(plot, [text, *([cover] if cover else [])], middle, bold=False)


def _label_points(plot: Plot) -> None:
    """Names of points with what sits at them, and how far they are from the datum."""
    held = fixtures(plot.result, plot.harness)
    width = TAG_EM * plot.text_mm
    for point, spot in plot.flat.spots.items():
        devices = [d for d in held.get(point, []) if d != point]
        away = plot.flat.from_datum_mm[point]
        where = "datum, 0" if point == plot.flat.datum else f"at {away:.0f}"
        lines = [fitted(point, plot.text_mm, width, True), where]
        lines += wrapped(", ".join(devices), plot.text_mm, width, 6) if devices else []
        _beside(plot, lines, [plot.paper(spot)], bold=True)


def _label_splices(plot: Plot) -> None:
    """Names of splices; those that lie in one place share a label."""
    width = TAG_EM * plot.text_mm
    by_spot: dict[Spot, list[Splice]] = {}
    for splice in _splices(plot):
        x, y = plot.paper(splice_spot(plot.flat, splice))
        key = (round(x / 3) * 3.0, round(y / 3) * 3.0)
        by_spot.setdefault(key, []).append(splice)
    for found in by_spot.values():
        names = wrapped(" ".join(sorted(s.id for s in found)), plot.text_mm, width, 12)
        _beside(plot, names, [plot.paper(splice_spot(plot.flat, found[0]))], bold=False)


def _beside(plot: Plot, lines: list[str], marks: list[Spot], bold: bool) -> None:
    """Writes lines at the nearest free place to one of the marks, with a leader where far."""
    size = plot.text_mm
    wide = max(text_width_mm(t, size, bold) for t in lines)
    high = 0.98 * size + (len(lines) - 1) * LINE_EM * size
    for ring in range(40):
        for mx, my in marks:
            for turn in range(TURNS):
                angle = 2 * math.pi * turn / TURNS - 0.375 * math.pi
                away = (1.4 + ring * 1.5) * plot.k
                x = mx + math.cos(angle) * (away + wide / 2) - wide / 2
                y = my + math.sin(angle) * (away + high / 2) - high / 2
                box = Box(x, y, wide, high)
                if _fits(plot, box, (mx, my), ring > NEAR_RINGS):
                    _write_block(plot, lines, box, (mx, my), bold, ring > NEAR_RINGS)
                    return
    raise NoRoom(f"no room on the sheet for {lines[0]}")


def _grown(box: Box, by: float) -> Box:
    return Box(box.x - by, box.y - by, box.w + 2 * by, box.h + 2 * by)


def _leader(mark: Spot, box: Box) -> tuple[Spot, Spot]:
    """From a mark to the nearest place on a label's edge."""
    edge = _grown(box, LEADER_GAP_MM)
    return mark, (min(max(mark[0], edge.x), edge.right), min(max(mark[1], edge.y), edge.bottom))


def _fits(plot: Plot, box: Box, mark: Spot, leader: bool) -> bool:
    """Whether a label has its place to itself, and its leader crosses nothing that is another's."""
    if not plot.area.holds(box) or not plot.canvas.is_free(box, 0.35):
        return False
    if any(crosses(a, b, _grown(box, half)) for a, b, half in plot.lines):
        return False
    if not leader:
        return True
    line = _leader(mark, box)
    own = Box(mark[0], mark[1], 0.0, 0.0)
    return not any(crosses(*line, thing) for thing in plot.things if not thing.holds(own))


def _write_block(
    plot: Plot, lines: list[str], box: Box, mark: Spot, bold: bool, leader: bool
) -> None:
    if leader:
        line = _leader(mark, box)
        plot.canvas.line(line, 0.18, GREY, class_="leader")
        _keep_line(plot, line, 0.18)
    plot.things.append(box)
    size = plot.text_mm
    for n, line in enumerate(lines):
        base = box.y + 0.76 * size + n * LINE_EM * size
        plot.canvas.text(box.x, base, line, size, bold=bold and n == 0, halo=True)


def _notes(plot: Plot, inner: Box) -> None:
    """What the drawing means, left of the title block."""
    flat = plot.flat
    board = f"{flat.board.w:.0f} × {flat.board.h:.0f}"
    lines = [
        f"Lengths in mm; board {board}" + (" (larger)" if flat.needs_more else ""),
        "at: from the datum; figures beside the rope: each run",
        "Boxes connectors, rings breakouts, diamonds splices",
        "Strokes across: clamps" + ("; dashed, est.: cut long, trim to fit"
                                    if any(r.estimated for r in plot.runs) else ""),
    ]  # fmt: skip
    for n, line in enumerate(lines):
        y = plot.canvas.height - 16.6 + n * 3.4
        plot.canvas.text(inner.x, y, fitted(line, SMALL_MM, 76))


def layouts(result: Result) -> dict[str, Drawing]:
    """Harness -> its layout to scale."""
    return {h: layout(result, h) for h in result.vehicle.description.rope if runs_of(result, h)}

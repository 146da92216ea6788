"""Harness layouts: the harness on its board at true length, small for the book or full size."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, product

from buildbook.drawing.harness.board import Flat, Spot, along, lay_flat, line_mm
from buildbook.drawing.maps.tree import fixtures
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import GREY, Canvas
from buildbook.drawing.shared.clear import crosses, cuts
from buildbook.drawing.shared.lettering import SMALL_MM, fitted, label_box, text_width_mm, wrapped
from buildbook.drawing.shared.model import SHEET_MM, Drawing
from buildbook.drawing.shared.sheet import Title, frame, inside
from buildbook.harness.model import Splice
from buildbook.result import Result
from buildbook.vehicle.model import Run

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
LINE_EM = 1.19
"""Distance between lines of a label over its letter size."""
TAG_EM = 13.0
"""Widest line of a label over its letter size."""
MARGINS_MM = ((10.0, 8.0), (20.0, 10.0), (30.0, 11.0))
"""Kept free on paper left and right, above and below the harness, for the labels of its ends:
the least with which they all find room."""
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
SPLICED = 1.6
"""Size of a breakout, connector or end over its usual one where a splice lies on it."""
DIAMOND_MM = (0.8, 1.5)
"""Half of a splice's diagonal, least and most."""
LEADER_GAP_MM = 0.3
APART_MM = (0.9, 1.1)
"""Between two labels, beside and below each other: wider than a space and than the room between
the lines of one label, so that they do not read as one."""
ROUNDS, MOST_LACKING = 8, 4
"""Times that the labels of a sheet are placed, until no leader crosses anything, and times that
one may find no room."""
TURNS = 48
"""Directions in which a label is tried."""
RINGS, NEAR_RINGS, PLAIN_RINGS = 40, 2, 18
"""Rings of places round a mark, those at which its label needs no leader, and those looked at
for a leader that crosses nothing before one may cross a rope."""
LEAST_DIMENSION_MM = 60.0
"""Runs shorter than this have their length as a label only."""


Leader = tuple[Spot, Spot]


@dataclass(frozen=True, eq=False)
class Label:
    """Lines of lettering, and the places on paper that they may stand beside."""

    lines: tuple[str, ...]
    marks: tuple[Spot, ...]
    bold: bool = False
    """Whether the first line is."""
    reach: float = 0.0
    """From a mark to the edge of its symbol, where a leader begins."""
    free: dict[int, list[tuple[Spot, Box]]] = field(default_factory=dict)
    """Ring -> mark and box of every place clear of the drawing; filled as asked."""

    def size(self, text_mm: float) -> tuple[float, float]:
        wide = max(text_width_mm(t, text_mm, self.bold) for t in self.lines)
        return wide, 0.98 * text_mm + (len(self.lines) - 1) * LINE_EM * text_mm


@dataclass(frozen=True)
class Placed:
    """A label, where it stands, and its leader where it is far from its mark."""

    label: Label
    box: Box
    leader: Leader | None = None


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
    """Symbols and a little round them: no leader to something else crosses them."""
    lines: list[tuple[Spot, Spot, float]] = field(default_factory=list)
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

    def paper(self, spot: Spot) -> Spot:
        return self.origin[0] + spot[0] / self.scale, self.origin[1] + spot[1] / self.scale

    def path(self, run: Run) -> list[Spot]:
        """A run's line on paper, from its first point."""
        return [self.paper(spot) for spot in self.flat.paths[run.id]]

    def ends(self) -> set[str]:
        """Points with one run."""
        met = [p for run in self.runs for p in (run.from_point, run.to_point)]
        return {p for p in met if met.count(p) == 1}


@dataclass
class Labelling:
    """One try at placing the labels of a plot."""

    boxes: list[Box] = field(default_factory=list)
    """Labels and a little round them: no leader crosses them."""
    leaders: list[Leader] = field(default_factory=list)
    placed: list[Placed] = field(default_factory=list)
    poor: list[Label] = field(default_factory=list)
    """Labels whose leader crosses a line, and one that has no room."""

    def keep(self, placed: Placed) -> None:
        self.placed.append(placed)
        self.boxes.append(_grown(placed.box, LEADER_GAP_MM))
        if placed.leader:
            self.leaders.append(placed.leader)


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

    Sheets grow by a step of the A series, sqrt(2), until every label has a place in some order;
    of several orders the one with the fewest leaders across a rope is taken.
    """
    flat = flat_of(result, harness)
    for step in range(SHEET_STEPS):
        size = (SHEET_MM[0] * 2 ** (step / 2), SHEET_MM[1] * 2 ** (step / 2))
        for margin in MARGINS_MM:
            plot = _unlabelled(result, harness, flat, size, margin)
            labels = _labelled(plot)
            if labels:
                _write_labels(plot, labels)
                _notes(plot)
                return plot.canvas.drawing(f"layout-{harness}", _title(result, harness))
    raise NoRoom(f"the rope of {harness} does not fit a sheet of {size[0]:.0f} mm")


def _labelled(plot: Plot) -> Labelling | None:
    """The labels placed with as few leaders across a line as were found; none without room.

    Labels that fared badly are placed first in the next round.
    """
    labels = [*_run_labels(plot), *_splice_labels(plot), *_point_labels(plot)]
    best: Labelling | None = None
    lacking = 0
    for _ in range(ROUNDS):
        if lacking == MOST_LACKING:
            break
        tried = Labelling()
        try:
            for label in labels:
                _place(plot, tried, label)
        except NoRoom:
            lacking += 1
        else:
            if best is None or len(tried.poor) < len(best.poor):
                best = tried
            if not tried.poor:
                break
        labels = tried.poor + [label for label in labels if label not in tried.poor]
    return best


def _title(result: Result, harness: str) -> str:
    title = result.vehicle.description.rope[harness].title
    return f"{title or harness + ' harness'}: layout"


def _unlabelled(
    result: Result,
    harness: str,
    flat: Flat,
    size: tuple[float, float],
    margin: tuple[float, float],
) -> Plot:
    """The harness on a framed sheet of a size."""
    canvas = Canvas(*size)
    vehicle = result.vehicle.description.vehicle
    scale, origin = _placed(flat, inside(canvas), margin)
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
        canvas, flat, result, harness, runs_of(result, harness), scale, origin, SMALL_MM, inner
    )
    _board_edge(plot)
    _draw_harness(plot)
    return plot


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
    plot = Plot(
        canvas,
        flat,
        result,
        harness,
        runs_of(result, harness),
        1.0,
        (0.0, 0.0),
        FULL_TEXT_MM,
        inner,
    )
    _draw_harness(plot)
    for run in plot.runs:
        _dimension(plot, run)
    for run in plot.runs:
        _rule(plot, run)
    labels = Labelling()
    for label in (*_point_labels(plot), *_splice_labels(plot), *_run_labels(plot)):
        _place(plot, labels, label)
    _write_labels(plot, labels)
    drawing = canvas.drawing(f"full-size-{harness}", title)
    return FullSize(drawing, flat, tuple(canvas.taken))


def _placed(flat: Flat, inner: Box, margin: tuple[float, float]) -> tuple[float, Spot]:
    """Largest scale at which the harness fits the sheet, and the board's corner on paper."""
    extent = flat.extent()
    wide, high = inner.w - 2 * margin[0], inner.h - 2 * margin[1]
    scale = next((s for s in SCALES if extent.w / s <= wide and extent.h / s <= high), SCALES[-1])
    x = inner.x + (inner.w - extent.w / scale) / 2 - extent.x / scale
    y = inner.y + (inner.h - extent.h / scale) / 2 - extent.y / scale
    return scale, (x, y)


def _board_edge(plot: Plot) -> None:
    """The board's outline, where the whole board is on the sheet."""
    x, y = plot.origin
    edge = Box(x, y, plot.flat.board.w / plot.scale, plot.flat.board.h / plot.scale)
    if plot.area.holds(edge):
        plot.canvas.rect(edge, 0.25, colour=GREY, dash="4 2", class_="board")
        corners = [
            (edge.x, edge.y),
            (edge.right, edge.y),
            (edge.right, edge.bottom),
            (edge.x, edge.bottom),
        ]
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
    splices = _splice_spots(plot)
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
    _keep_line(plot, path, weight)
    half = max(weight / 2, 0.6)
    for mark in _marks(line_mm(path), 1.6 * half):
        (x, y), _ = along(path, mark)
        plot.canvas.block(Box(x - half, y - half, 2 * half, 2 * half))


def _marks(length: float, step: float) -> list[float]:
    """Distances from 0 to a length, both in it, at most a step apart."""
    count = max(1, math.ceil(length / step))
    return [length * n / count for n in range(count + 1)]


def _across(
    plot: Plot, path: list[Spot], mark: float, half: float, weight: float, class_: str
) -> None:
    """A stroke across the rope at a distance along it."""
    (x, y), heading = along(path, mark)
    ux, uy = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    ends = [(x + uy * half, y - ux * half), (x - uy * half, y + ux * half)]
    plot.canvas.line(ends, weight, class_=class_)
    wide, high = abs(uy) * half + 0.3, abs(ux) * half + 0.3
    plot.canvas.block(Box(x - wide, y - high, 2 * wide, 2 * high))


def _beyond(plot: Plot, run: Run, least: float, clear: float = 2.0) -> float:
    """Distance from the rope's middle: `least`, or `clear` of a thick rope drawn full size."""
    piece = plot.result.finished_runs.get(run.id)
    if not plot.is_full_size or piece is None:
        return least
    return max(least, piece.outside_mm / 2 + clear)


def _draw_clamps(plot: Plot, run: Run) -> None:
    path = plot.path(run)
    for n in range(1, run.clamps + 1):
        mark = line_mm(path) * n / (run.clamps + 1)
        _across(plot, path, mark, _beyond(plot, run, 1.9 * plot.k), 0.5 * plot.k, "clamp")


def _draw_points(plot: Plot) -> None:
    """Breakouts as rings, connectors as boxes, other ends as dots; larger under a splice."""
    canvas, plugs = plot.canvas, _connector_points(plot)
    for point, spot in plot.flat.spots.items():
        x, y = plot.paper(spot)
        k = _point_scale(plot, (x, y))
        if point in plugs:
            _box(plot, point, (x, y), k)
        elif point in plot.ends():
            canvas.circle(x, y, 1.0 * k, 0.35 * plot.k, fill="#000000", class_="end")
        else:
            canvas.circle(x, y, 1.3 * k, 0.35 * plot.k, fill="#ffffff", class_="breakout")
        _keep(plot, (x, y), (1.9 if point in plugs else 1.4) * k)


def _point_scale(plot: Plot, spot: Spot) -> float:
    """Size of a point's symbol over that on the book's sheet."""
    spliced = any(math.dist(spot, splice) < plot.k for splice in _splice_spots(plot))
    return plot.k * (SPLICED if spliced else 1.0)


def _keep(plot: Plot, spot: Spot, reach: float) -> None:
    """Keeps labels and leaders off a symbol."""
    box = Box(spot[0] - reach, spot[1] - reach, 2 * reach, 2 * reach)
    plot.canvas.block(box)
    plot.things.append(_grown(box, LEADER_GAP_MM))


def _keep_line(plot: Plot, path: Sequence[Spot], weight: float) -> None:
    """Keeps labels off a line."""
    plot.lines.extend((a, b, weight / 2) for a, b in pairwise(path))


def _connector_points(plot: Plot) -> set[str]:
    """Points at which wires of the harness go into connectors."""
    wires = [w for w in plot.result.harness.wires.values() if w.harness == plot.harness]
    return {end.point for wire in wires for end in (wire.a, wire.b) if end.connector}


def _box(plot: Plot, point: str, at: Spot, k: float) -> None:
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


def _splices(plot: Plot) -> list[Splice]:
    return [s for s in plot.result.harness.splices.values() if s.harness == plot.harness]


def splice_spot(flat: Flat, splice: Splice) -> Spot:
    """Where a splice lies on the board: off its point along its run."""
    path = flat.paths.get(splice.run)
    if path is None:
        return flat.spots[splice.point]
    outward = path if math.dist(path[0], flat.spots[splice.point]) < 1e-6 else path[::-1]
    return along(outward, min(abs(splice.offset_m) * 1000, line_mm(path)))[0]


def _splice_spots(plot: Plot) -> list[Spot]:
    """Where the splices are on paper."""
    return [plot.paper(splice_spot(plot.flat, splice)) for splice in _splices(plot)]


def _diamond_mm(plot: Plot, spot: Spot, others: Sequence[Spot]) -> float:
    """Half of a splice's diagonal: less where the next one would lie on it."""
    near = min((math.dist(spot, other) for other in others if other != spot), default=math.inf)
    return max(DIAMOND_MM[0], min(DIAMOND_MM[1], near / plot.k / 2 - 0.2)) * plot.k


def _diamond(plot: Plot, spot: Spot, others: Sequence[Spot]) -> None:
    x, y = spot
    r = _diamond_mm(plot, spot, others)
    _keep(plot, spot, r)
    plot.canvas.path(
        f"M {x - r:.3f} {y:.3f} L {x:.3f} {y - r:.3f} L {x + r:.3f} {y:.3f} "
        f"L {x:.3f} {y + r:.3f} Z",
        0.35 * plot.k,
        fill="#ffffff",
        class_="splice",
    )


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
        _keep_line(plot, extension, 0.2)
        for x, y in (along(extension, mark)[0] for mark in _marks(line_mm(extension), 1.0)):
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
    return not any(
        crosses(*line, other) for line in _extensions(path, off) for other in plot.figures
    )


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
        spots = [
            (x + v * off + u * on, y - u * off + v * on + 1.5)
            for off in (near, -near, near + 4, -near - 4)
            for on in (0, 6, -6)
        ]
        plot.canvas.place(f"{mark:.0f}", spots, RULE_TEXT_MM, "middle", class_="rule-figure")
        mark += RULE_MM


def _run_labels(plot: Plot) -> list[Label]:
    """The length of every run beside it, with its cover."""
    found = []
    for run in sorted(plot.runs, key=lambda run: run.length_m):
        path = plot.path(run)
        text = f"{run.length_m * 1000:.0f}" + (" est." if run.estimated else "")
        piece = plot.result.finished_runs.get(run.id)
        cover = (piece.sleeve.id,) if piece and piece.sleeve else ()
        middle = tuple(along(path, line_mm(path) * t)[0] for t in (0.5, 0.35, 0.65, 0.8))
        found.append(Label((text, *cover), middle))
    return found


def _point_labels(plot: Plot) -> list[Label]:
    """Names of points with what sits at them, and how far they are from the datum."""
    held = fixtures(plot.result, plot.harness)
    width = TAG_EM * plot.text_mm
    found = []
    for point, spot in plot.flat.spots.items():
        devices = [d for d in held.get(point, []) if d != point]
        away = plot.flat.from_datum_mm[point]
        where = "datum, 0" if point == plot.flat.datum else f"at {away:.0f}"
        lines = [fitted(point, plot.text_mm, width, True), where]
        lines += wrapped(", ".join(devices), plot.text_mm, width, 6) if devices else []
        reach = 1.3 * _point_scale(plot, plot.paper(spot))
        found.append(Label(tuple(lines), (plot.paper(spot),), bold=True, reach=reach))
    return found


def _splice_labels(plot: Plot) -> list[Label]:
    """Names of splices; those that lie in one place share a label."""
    width = TAG_EM * plot.text_mm
    by_spot: dict[Spot, list[Splice]] = {}
    for splice in _splices(plot):
        x, y = plot.paper(splice_spot(plot.flat, splice))
        key = (round(x / 3) * 3.0, round(y / 3) * 3.0)
        by_spot.setdefault(key, []).append(splice)
    spots, labels = _splice_spots(plot), []
    for found in by_spot.values():
        names = wrapped(" ".join(sorted(s.id for s in found)), plot.text_mm, width, 12)
        spot = plot.paper(splice_spot(plot.flat, found[0]))
        labels.append(Label(tuple(names), (spot,), reach=_diamond_mm(plot, spot, spots)))
    return labels


def _around(plot: Plot, label: Label, ring: int) -> Iterator[tuple[Spot, Box]]:
    """Places on a ring round a label's marks."""
    wide, high = label.size(plot.text_mm)
    away = (1.4 + ring * 1.5) * plot.k
    for mark, turn in product(label.marks, range(TURNS)):
        angle = 2 * math.pi * turn / TURNS - 0.375 * math.pi
        x = mark[0] + math.cos(angle) * (away + wide / 2) - wide / 2
        y = mark[1] + math.sin(angle) * (away + high / 2) - high / 2
        yield mark, Box(x, y, wide, high)


def _free(plot: Plot, label: Label, ring: int) -> list[tuple[Spot, Box]]:
    """Those places that are clear of all that is drawn but other labels."""
    if ring not in label.free:
        label.free[ring] = [
            (mark, box)
            for mark, box in _around(plot, label, ring)
            if plot.area.holds(box)
            and plot.canvas.is_free(box, 0.35)
            and not any(crosses(a, b, _grown(box, half)) for a, b, half in plot.lines)
        ]
    return label.free[ring]


def _place(plot: Plot, labels: Labelling, label: Label) -> None:
    """Puts a label at the nearest free place to one of its marks whose leader crosses no line,
    or, where there is none within reach, at the nearest free place."""
    crossing = None
    for ring in range(RINGS):
        if crossing and ring >= PLAIN_RINGS:
            break
        for mark, box in _free(plot, label, ring):
            if not _fits(plot, labels, box):
                continue
            if ring <= NEAR_RINGS:
                return labels.keep(Placed(label, box))
            leader = _leader(mark, box, label.reach)
            plain = _is_plain(plot, labels, leader)
            if (crossing and not plain) or not _leads_clear(plot, labels, leader):
                continue
            if plain:
                return labels.keep(Placed(label, box, leader))
            crossing = Placed(label, box, leader)
    labels.poor.append(label)
    if not crossing:
        raise NoRoom(f"no room on the sheet for {label.lines[0]}")
    labels.keep(crossing)


def _grown(box: Box, by: float) -> Box:
    return Box(box.x - by, box.y - by, box.w + 2 * by, box.h + 2 * by)


def _leader(mark: Spot, box: Box, reach: float) -> Leader:
    """From the edge of a mark's symbol to the nearest place on a label's edge."""
    edge = _grown(box, LEADER_GAP_MM)
    end = min(max(mark[0], edge.x), edge.right), min(max(mark[1], edge.y), edge.bottom)
    share = reach / math.dist(mark, end)
    return (mark[0] + (end[0] - mark[0]) * share, mark[1] + (end[1] - mark[1]) * share), end


def _fits(plot: Plot, labels: Labelling, box: Box) -> bool:
    """Whether a label keeps apart from the others and off their leaders."""
    aside, below = (mm * plot.k - LEADER_GAP_MM for mm in APART_MM)
    room = Box(box.x - aside, box.y - below, box.w + 2 * aside, box.h + 2 * below)
    if any(room.overlaps(other) for other in labels.boxes):
        return False
    clear = _grown(box, LEADER_GAP_MM)
    return not any(crosses(*leader, clear) for leader in labels.leaders)


def _leads_clear(plot: Plot, labels: Labelling, leader: Leader) -> bool:
    """Whether a leader crosses no symbol or label of another."""
    own = Box(*leader[0], 0.0, 0.0)
    return not any(
        crosses(*leader, thing) and not thing.holds(own) for thing in (*plot.things, *labels.boxes)
    )


def _is_plain(plot: Plot, labels: Labelling, leader: Leader) -> bool:
    """Whether a leader crosses no rope, no other leader and not the board's edge."""
    return not any(cuts(*leader, a, b) for a, b, _ in plot.lines) and not any(
        cuts(*leader, *other) for other in labels.leaders
    )


def _write_labels(plot: Plot, labels: Labelling) -> None:
    size = plot.text_mm
    for placed in labels.placed:
        if placed.leader:
            plot.canvas.line(placed.leader, 0.18, GREY, class_="leader")
        for n, line in enumerate(placed.label.lines):
            bold = placed.label.bold and n == 0
            base = placed.box.y + 0.76 * size + n * LINE_EM * size
            plot.canvas.text(placed.box.x, base, line, size, bold=bold, halo=True)


def _notes(plot: Plot) -> None:
    """What the drawing means, left of the title block."""
    flat = plot.flat
    board = f"{flat.board.w:.0f} × {flat.board.h:.0f}"
    lines = [
        f"Lengths in mm; board {board}" + (" (larger)" if flat.needs_more else ""),
        "at: from the datum; figures beside the rope: each run",
        "Boxes connectors, rings breakouts, diamonds splices",
        "Strokes across: clamps"
        + ("; dashed, est.: cut long, trim to fit" if any(r.estimated for r in plot.runs) else ""),
    ]
    for n, line in enumerate(lines):
        y = plot.canvas.height - 16.6 + n * 3.4
        plot.canvas.text(plot.area.x, y, fitted(line, SMALL_MM, 76))


def layouts(result: Result) -> dict[str, Drawing]:
    """Harness -> its layout to scale."""
    return {h: layout(result, h) for h in result.vehicle.description.rope if runs_of(result, h)}

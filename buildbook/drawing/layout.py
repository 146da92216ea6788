"""Harness layouts: the rope tree drawn flat and to scale, trunk level, branches up and down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import networkx

from buildbook.drawing.model import SHEET_MM, Drawing
from buildbook.drawing.sheet import (
    GREY,
    SMALL_MM,
    Box,
    Canvas,
    Title,
    fitted,
    frame,
    text_width_mm,
    wrapped,
)
from buildbook.result import Result
from buildbook.vehicle.model import Run

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
LINE_MM = 3.1
TAG_MM = 34.0
"""Longest line of an end's tag."""
LEAST_TRUNK_MM, LEAST_BRANCH_MM = 8.0, 7.0
"""Runs shorter than this on paper are drawn as long as this and marked."""

SHEET_STEPS = 9
"""Sheet sizes tried, each twice the area of the one before."""


@dataclass(frozen=True)
class Spot:
    """A point of the rope on paper."""

    x: float
    y: float


@dataclass(frozen=True)
class Tree:
    """The rope of one harness seen from its trunk."""

    trunk: tuple[str, ...]
    children: dict[str, tuple[str, ...]]
    """Point -> points that branch off it, away from the trunk."""
    runs: dict[tuple[str, str], Run]
    """Both ways round."""

    def leaves(self, point: str) -> list[str]:
        """Ends beyond a point, in the order they are drawn from left to right.

        The longest way on is kept in the middle, the others to its left and right in turn.
        """
        onward = self.children.get(point, ())
        if not onward:
            return [point]
        main, *others = sorted(onward, key=lambda p: -self.reach_m(point, p))
        left = [leaf for p in others[0::2] for leaf in self.leaves(p)]
        right = [leaf for p in others[1::2] for leaf in self.leaves(p)]
        return left + self.leaves(main) + right

    def main(self, point: str) -> str:
        """The end that the longest way on leads to."""
        onward = self.children.get(point, ())
        if not onward:
            return point
        return self.main(max(onward, key=lambda p: self.reach_m(point, p)))

    def reach_m(self, point: str, onward: str) -> float:
        """Length from a point through one that branches off it to the farthest end."""
        deeper = [self.reach_m(onward, p) for p in self.children.get(onward, ())]
        return self.runs[point, onward].length_m + max(deeper, default=0.0)


def rope_tree(runs: Sequence[Run]) -> Tree:
    """Trunk (the longest way through) and branches of one harness's runs."""
    graph = networkx.Graph()
    both: dict[tuple[str, str], Run] = {}
    for run in runs:
        graph.add_edge(run.from_point, run.to_point, length=run.length_m)
        both[run.from_point, run.to_point] = both[run.to_point, run.from_point] = run
    start = runs[0].from_point
    for _ in range(2):
        far = networkx.single_source_dijkstra_path_length(graph, start, weight="length")
        start, other = max(far, key=lambda p: far[p]), start
    trunk = tuple(networkx.shortest_path(graph, other, start, weight="length"))
    seen, queue, children = set(trunk), list(trunk), {}
    while queue:
        point = queue.pop(0)
        children[point] = tuple(p for p in graph[point] if p not in seen)
        seen |= set(children[point])
        queue += children[point]
    return Tree(trunk, children, both)


def fixtures(result: Result, harness: str) -> dict[str, list[str]]:
    """Point -> devices and pass-throughs that wires of the harness end at there."""
    found: dict[str, list[str]] = {}
    for wire in result.harness.wires.values():
        if wire.harness != harness:
            continue
        for end in (wire.a, wire.b):
            if end.kind in ("pin", "half"):
                device = end.node.split("/")[0].rsplit(".", 1)[0]
                if device in result.vehicle.devices:
                    device = result.vehicle.devices[device].panel or device
                held = found.setdefault(end.point, [])
                if device not in held:
                    held.append(device)
            elif end.kind == "capped":
                held = found.setdefault(end.point, [])
                held += [] if "capped wires" in held else ["capped wires"]
    return found


def spread(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float
) -> list[float]:
    """Centres of columns in order, none overlapping, as near to where they are wanted as may be.

    Neighbours that would overlap are pooled about their mean (isotonic regression).
    """
    offsets, total = [], 0.0
    for n, width in enumerate(widths):
        total += width / 2 + (widths[n - 1] / 2 if n else 0)
        offsets.append(total)
    pools: list[list[float]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        pools.append([want - offset, 1])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            value, count = pools.pop()
            before, n = pools[-1]
            pools[-1] = [(before * n + value * count) / (n + count), n + count]
    eased = [value for value, count in pools for _ in range(int(count))]
    top = high - sum(widths)
    return [min(max(e, low), max(top, low)) + o for e, o in zip(eased, offsets, strict=True)]


def paper_mm(run: Run, scale: float, trunk: bool) -> float:
    """Drawn length of a run at 1:scale."""
    return max(run.length_m * 1000 / scale, LEAST_TRUNK_MM if trunk else LEAST_BRANCH_MM)


def _extent(tree: Tree, branches: list[tuple[str, str]], tags: dict, scale: float) -> float:
    """Most that branches with their tags reach away from the trunk, mm on paper; at least 12."""
    most, queue = 12.0, [(b, p, 0.0) for b, p in branches]
    while queue:
        before, point, so_far = queue.pop()
        far = so_far + paper_mm(tree.runs[before, point], scale, False)
        onward = tree.children[point]
        queue += [(point, p, far) for p in onward]
        if not onward:
            most = max(most, far + 3 + max(text_width_mm(t, SMALL_MM, True) for t in tags[point]))
    return most


def _sides(tree: Tree) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Branches (breakout, first point) drawn upwards and downwards, in turn."""
    up: list[tuple[str, str]] = []
    down: list[tuple[str, str]] = []
    for point in tree.trunk:
        for onward in tree.children[point]:
            (up if len(up) <= len(down) else down).append((point, onward))
    return up, down


@dataclass(frozen=True)
class Plan:
    """Where everything goes."""

    scale: float
    spots: dict[str, Spot]
    tags: dict[str, list[str]]
    side: dict[str, int]
    """End -> -1 above the trunk, +1 below it, 0 at the trunk's ends."""


def _tag(result_fixtures: dict[str, list[str]], point: str, lines: int) -> list[str]:
    held = [d for d in result_fixtures.get(point, []) if d != point]
    if not held:
        return [fitted(point, SMALL_MM, TAG_MM, True)]
    text = ", ".join(held)
    more = wrapped(text, SMALL_MM, TAG_MM, lines - 1) if lines > 1 else []
    return [fitted(point, SMALL_MM, TAG_MM, True), *more]


def plan(tree: Tree, held: dict[str, list[str]], area: Box) -> Plan:
    """Chooses the scale and places every point; largest scale that fits the area."""
    up, down = _sides(tree)
    ends = [tree.trunk[0], tree.trunk[-1]]
    leaves = {s: [leaf for _, p in side for leaf in tree.leaves(p)]
              for s, side in ((-1, up), (1, down))}  # fmt: skip
    lines = next(
        (n for n in (4, 3, 2) if all(
            sum(len(_tag(held, p, n)) * LINE_MM + 1.6 for p in side) <= area.w
            for side in leaves.values())),
        1,
    )  # fmt: skip
    tags = {p: _tag(held, p, lines) for side in leaves.values() for p in side}
    tags |= {p: _tag(held, p, 6) for p in ends}
    margins = [max(text_width_mm(t, SMALL_MM, True) for t in tags[p]) + 3 for p in ends]
    for scale in SCALES:
        steps = [paper_mm(tree.runs[a, b], scale, True)
                 for a, b in zip(tree.trunk, tree.trunk[1:], strict=False)]  # fmt: skip
        reach = {s: _extent(tree, side, tags, scale) for s, side in ((-1, up), (1, down))}
        if sum(steps) + sum(margins) <= area.w and sum(reach.values()) <= area.h:
            break
    x0 = area.x + margins[0] + (area.w - sum(margins) - sum(steps)) / 2
    y0 = area.y + reach[-1] + (area.h - sum(reach.values())) / 2
    squeeze = min(1.0, (area.w - sum(margins)) / sum(steps))
    spots = {}
    for n, point in enumerate(tree.trunk):
        spots[point] = Spot(x0 + squeeze * sum(steps[:n]), y0)
    for sign, side in ((-1, up), (1, down)):
        _place_side(tree, side, sign, tags, scale, spots, area)
    signs = {p: s for s, side in leaves.items() for p in side} | dict.fromkeys(ends, 0)
    return Plan(scale, spots, tags, signs)


def _place_side(tree, branches, sign, tags, scale, spots, area) -> None:
    """Gives each end a column of its own and each point its height (mutates `spots`)."""
    leaves = [leaf for _, p in branches for leaf in tree.leaves(p)]
    wanted = [spots[b].x for b, p in branches for _ in tree.leaves(p)]
    text = sum(len(tags[leaf]) * LINE_MM for leaf in leaves)
    gap = max(1.6, min(3.2, (area.w - text) / max(1, len(leaves))))
    widths = [len(tags[leaf]) * LINE_MM + gap for leaf in leaves]
    centres = spread(wanted, widths, area.x, area.right)
    column = dict(zip(leaves, centres, strict=True))
    queue = list(branches)
    while queue:
        before, point = queue.pop(0)
        start, x = spots[before], column[tree.main(point)]
        length = paper_mm(tree.runs[before, point], scale, False)
        over = x - start.x
        rise = math.sqrt(max(length**2 - over**2, 0.0))
        spots[point] = Spot(x, start.y + sign * max(rise, 4.0, 0.7 * abs(over)))
        queue += [(point, p) for p in tree.children[point]]


class NoRoom(ValueError):
    """A label that found no free place."""


def layout(result: Result, harness: str) -> Drawing:
    """One harness's layout on the smallest framed sheet that holds it.

    Sheets grow by a step of the A series, sqrt(2), until every label has a place.
    """
    for step in range(SHEET_STEPS):
        size = (SHEET_MM[0] * 2 ** (step / 2), SHEET_MM[1] * 2 ** (step / 2))
        try:
            return _layout_on(result, harness, size)
        except NoRoom:
            continue
    raise NoRoom(f"the rope of {harness} does not fit a sheet of {size[0]:.0f} mm")


def _layout_on(result: Result, harness: str, size: tuple[float, float]) -> Drawing:
    tree = rope_tree([r for r in result.vehicle.runs if r.harness == harness])
    held = fixtures(result, harness)
    canvas = Canvas(*size)
    text = result.vehicle.description
    title = f"{text.rope[harness].title or harness + ' harness'}: layout"
    inner = frame(
        canvas,
        Title(text.vehicle.name, title, harness, text.vehicle.revision, str(text.vehicle.date),
              name=f"layout-{harness}"),
    )  # fmt: skip
    drawn = plan(tree, held, inner)
    splices = _splices(result, harness)
    untrue = [r for r in set(tree.runs.values()) if _untrue(r, drawn)]
    for run in dict.fromkeys(tree.runs.values()):
        _draw_run(canvas, run, drawn, run.from_point in tree.trunk and run.to_point in tree.trunk)
    _draw_points(canvas, tree, drawn, splices)
    _draw_tags(canvas, tree, drawn)
    for run in dict.fromkeys(tree.runs.values()):
        _label_run(canvas, run, drawn, inner)
    _label_points(canvas, tree, drawn, held, splices, inner)
    _notes(canvas, inner, drawn.scale, bool(untrue), any(r.estimated for r in tree.runs.values()))
    return canvas.drawing(f"layout-{harness}", title)


def _splices(result: Result, harness: str) -> dict[str, list[tuple[str, float]]]:
    found: dict[str, list[tuple[str, float]]] = {}
    for splice in result.harness.splices.values():
        if splice.harness == harness:
            found.setdefault(splice.point, []).append((splice.id, splice.offset_m))
    return found


def _ends(run: Run, drawn: Plan) -> tuple[Spot, Spot]:
    return drawn.spots[run.from_point], drawn.spots[run.to_point]


def _untrue(run: Run, drawn: Plan) -> bool:
    """True where the drawn length is more than 3 % and 0.5 mm off the scale."""
    a, b = _ends(run, drawn)
    true = run.length_m * 1000 / drawn.scale
    return abs(math.hypot(a.x - b.x, a.y - b.y) - true) > max(0.5, 0.03 * true)


def _draw_run(canvas: Canvas, run: Run, drawn: Plan, trunk: bool) -> None:
    """The rope with its clamps; keeps labels off it."""
    a, b = _ends(run, drawn)
    canvas.line([(a.x, a.y), (b.x, b.y)], 1.6 if trunk else 0.9,
                dash="2.6 2" if run.estimated else "", class_="run")  # fmt: skip
    length = math.hypot(b.x - a.x, b.y - a.y)
    ux, uy = (b.x - a.x) / length, (b.y - a.y) / length
    for n in range(1, run.clamps + 1):
        x, y = (a.x + (b.x - a.x) * n / (run.clamps + 1), a.y + (b.y - a.y) * n / (run.clamps + 1))
        canvas.line([(x + uy * 1.9, y - ux * 1.9), (x - uy * 1.9, y + ux * 1.9)], 0.5,
                    class_="clamp")  # fmt: skip
        wide, high = abs(uy) * 1.9 + 0.3, abs(ux) * 1.9 + 0.3
        canvas.block(Box(x - wide, y - high, 2 * wide, 2 * high))
    for n in range(int(length) + 1):
        x, y = a.x + ux * n, a.y + uy * n
        canvas.block(Box(x - 0.8, y - 0.8, 1.6, 1.6))


def _draw_points(canvas: Canvas, tree: Tree, drawn: Plan, splices: dict) -> None:
    """Breakouts as rings, splices as diamonds set off along the rope."""
    for point, spot in drawn.spots.items():
        if point not in drawn.side:
            canvas.circle(spot.x, spot.y, 1.3, 0.35, fill="#ffffff", class_="breakout")
        else:
            canvas.circle(spot.x, spot.y, 1.0, 0.35, fill="#000000", class_="end")
        near = drawn.spots[_towards(tree, point)]
        length = math.hypot(near.x - spot.x, near.y - spot.y)
        offsets = [abs(offset) * 1000 / drawn.scale for _, offset in splices.get(point, [])]
        for along in sorted({round(max(o, 2.8) / 2) * 2 for o in offsets}):
            share = min(along / length, 0.8)
            _diamond(canvas, spot.x + (near.x - spot.x) * share,
                     spot.y + (near.y - spot.y) * share)  # fmt: skip


def _diamond(canvas: Canvas, x: float, y: float) -> None:
    r = 1.5
    canvas.block(Box(x - r, y - r, 2 * r, 2 * r))
    canvas.path(f"M {x - r:.3f} {y:.3f} L {x:.3f} {y - r:.3f} L {x + r:.3f} {y:.3f} "
                f"L {x:.3f} {y + r:.3f} Z", 0.35, fill="#ffffff")  # fmt: skip


def _towards(tree: Tree, point: str) -> str:
    """The neighbour along which splices at a point are set off: along the trunk where on it."""
    near = [b for a, b in tree.runs if a == point]
    return next((p for p in near if p in tree.trunk), near[0])


def _draw_tags(canvas: Canvas, tree: Tree, drawn: Plan) -> None:
    """Tags at the ends: turned beyond a branch's tip, level beyond the trunk's ends."""
    for point, side in drawn.side.items():
        spot, lines = drawn.spots[point], drawn.tags[point]
        if side == 0:
            left = point == tree.trunk[0]
            top = spot.y - (len(lines) - 1) / 2 * LINE_MM + 0.9
            for n, line in enumerate(lines):
                canvas.text(spot.x + (-2 if left else 2), top + n * LINE_MM, line,
                            anchor="end" if left else "start", bold=n == 0, halo=True)  # fmt: skip
            continue
        first = spot.x - (len(lines) - 1) / 2 * LINE_MM + 0.7
        for n, line in enumerate(lines):
            canvas.text(first + n * LINE_MM, spot.y + side * 2.0, line, bold=n == 0, turned=True,
                        halo=True, anchor="start" if side < 0 else "end")  # fmt: skip


def _label_run(canvas: Canvas, run: Run, drawn: Plan, area: Box) -> None:
    a, b = _ends(run, drawn)
    star = "*" if _untrue(run, drawn) else ""
    text = f"{run.length_m * 1000:.0f}{star}" + (" est." if run.estimated else "")
    middle = [(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t) for t in (0.5, 0.35, 0.65, 0.8)]
    _beside(canvas, [text], middle, area, bold=False)


def _label_points(canvas, tree, drawn, held, splices, area) -> None:
    """Names of breakouts with what sits at them, and the splices of every point."""
    for point, spot in drawn.spots.items():
        lines: list[str] = []
        if point not in drawn.side:
            lines.append(point)
            devices = [d for d in held.get(point, []) if d != point]
            lines += wrapped(", ".join(devices), SMALL_MM, TAG_MM, 4) if devices else []
        names = sorted(name for name, _ in splices.get(point, []))
        lines += wrapped(" ".join(names), SMALL_MM, TAG_MM, 12) if names else []
        if lines:
            _beside(canvas, lines, [(spot.x, spot.y)], area, bold=point not in drawn.side)


def _beside(canvas: Canvas, lines: list[str], marks: list, area: Box, bold: bool) -> None:
    """Writes lines at the nearest free place to one of the marks, with a leader where far."""
    wide = max(text_width_mm(t, SMALL_MM, bold) for t in lines)
    high = 0.98 * SMALL_MM + (len(lines) - 1) * LINE_MM
    for ring in range(40):
        for mx, my in marks:
            for turn in range(16):
                angle = math.pi * (turn / 8 - 0.375)
                away = 1.4 + ring * 1.5
                x = mx + math.cos(angle) * (away + wide / 2) - wide / 2
                y = my + math.sin(angle) * (away + high / 2) - high / 2
                box = Box(x, y, wide, high)
                if area.holds(box) and canvas.is_free(box, 0.35):
                    _write_block(canvas, lines, box, (mx, my), bold, ring > 2)
                    return
    raise NoRoom(f"no room on the sheet for {lines[0]}")


def _write_block(canvas, lines, box: Box, mark, bold: bool, leader: bool) -> None:
    if leader:
        near = (min(max(mark[0], box.x), box.right), min(max(mark[1], box.y), box.bottom))
        canvas.line([mark, near], 0.18, GREY, class_="leader")
    for n, line in enumerate(lines):
        canvas.text(box.x, box.y + 0.76 * SMALL_MM + n * LINE_MM, line, bold=bold and n == 0)


def _notes(canvas: Canvas, inner: Box, scale: float, untrue: bool, estimated: bool) -> None:
    """What the drawing means, left of the title block."""
    lines = [f"Scale 1 : {scale:g}, lengths in mm; strokes across: clamps"]
    lines.append("Rings: breakouts; diamonds: splices (S…)")
    if untrue:
        lines.append("* drawn longer than it is: cut to the figure")
    if estimated:
        lines.append("Dashed, est.: estimated: cut long, trim to fit")
    for n, line in enumerate(lines):
        canvas.text(inner.x, canvas.height - 16.6 + n * 3.4, fitted(line, SMALL_MM, 73))


def layouts(result: Result) -> dict[str, Drawing]:
    """Harness -> its layout to scale."""
    return {
        h: layout(result, h)
        for h in result.vehicle.description.rope
        if any(r.harness == h for r in result.vehicle.runs)
    }

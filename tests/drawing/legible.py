"""What makes a drawing hard to read, found in its geometry alone: each fault in words."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from buildbook.drawing.shared.model import Drawing
from tests.drawing.svg import CAPITAL_EM, Area, Scene, Stroke, Text, scene
from tests.drawing.svg_outlines import Point

LEAST_MM = 1.8
"""Height of capitals on paper (ISO 3098-1, smallest nominal height)."""
LEAST_CONTRAST = 4.5
"""Of lettering against what lies under it (WCAG 2.1, 1.4.3), by luminance: so in grey too."""
BORDER_MM = 5.0
"""Width of the border with the zones (ISO 5457: 5 mm from the trimmed edge to the frame)."""
FRAME_MM = 0.7
"""Width of the frame's line (ISO 5457)."""
SPACE_EM = 0.25
"""Width of a space over the letter size (Roboto's is 0.248)."""
TOUCH_MM = 0.05
"""Two outlines that meet by less than this only touch: a fifth of the thinnest line."""
WIRES = frozenset(("wire", "goes-on", "leader"))
"""Classes of lines that lead from one thing to another."""
LINES = WIRES | {"extension", "run", "rope", "curve"}
"""Classes of lines that a label may not break, not even with white behind it."""
SYMBOLS = frozenset(("element", "connector", "splice", "breakout", "end", "mark"))
"""Classes of shapes and groups that stand for a thing."""


@dataclass(frozen=True)
class Bounds:
    """An upright box."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Bounds) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Bounds) -> bool:
        return (
            self.left - TOUCH_MM <= other.left
            and other.right <= self.right + TOUCH_MM
            and self.top - TOUCH_MM <= other.top
            and other.bottom <= self.bottom + TOUCH_MM
        )

    def grown(self, mm: float) -> Bounds:
        return Bounds(self.left - mm, self.top - mm, self.right + mm, self.bottom + mm)

    def corners(self) -> tuple[Point, ...]:
        return (
            (self.left, self.top),
            (self.right, self.top),
            (self.right, self.bottom),
            (self.left, self.bottom),
        )


def bounds(points: Sequence[Point]) -> Bounds:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def _axes(quad: Sequence[Point]) -> list[Point]:
    edges = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*quad, quad[0]))]
    return [(-y / math.hypot(x, y), x / math.hypot(x, y)) for x, y in edges if x or y]


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two convex outlines share more than an edge (separating axes)."""
    for x, y in _axes(one) + _axes(other):
        a = [x * px + y * py for px, py in one]
        b = [x * px + y * py for px, py in other]
        if min(max(a), max(b)) - max(min(a), min(b)) <= TOUCH_MM:
            return False
    return True


def clipped(a: Point, b: Point, quad: Sequence[Point], grow: float) -> tuple[Point, Point] | None:
    """The part of the line a-b inside a convex outline grown by `grow` on every side, if any."""
    low, high = 0.0, 1.0
    turn = sum(p[0] * q[1] - q[0] * p[1] for p, q in pairwise((*quad, quad[0])))
    for p, q in pairwise((*quad, quad[0])):
        ex, ey = q[0] - p[0], q[1] - p[1]
        length = math.copysign(math.hypot(ex, ey), turn)
        if not length:
            continue
        start = ((a[1] - p[1]) * ex - (a[0] - p[0]) * ey) / length + grow
        end = ((b[1] - p[1]) * ex - (b[0] - p[0]) * ey) / length + grow
        if start < 0 and end < 0:
            return None
        if start < 0:
            low = max(low, start / (start - end))
        elif end < 0:
            high = min(high, start / (start - end))
    if low >= high and a != b:
        return None

    def at(t: float) -> Point:
        return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t

    return at(low), at(high)


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """Whether a point lies in a closed outline (even-odd rule)."""
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in pairwise((*outline, outline[0])):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            odd = not odd
    return odd


def luminance(colour: str) -> float:
    """Relative luminance of '#rrggbb' (WCAG 2.1)."""
    if len(colour) == 4:
        colour = "#" + "".join(2 * c for c in colour[1:])
    channels = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


@dataclass(frozen=True)
class _Lettering:
    text: Text
    box: Bounds


def _boxed(drawn: Scene) -> list[_Lettering]:
    return [_Lettering(t, bounds(t.quad)) for t in drawn.texts]


def small(drawn: Scene) -> Iterator[str]:
    for text in drawn.texts:
        if text.size * CAPITAL_EM < LEAST_MM:
            yield f"small: {text.text} is {text.size * CAPITAL_EM:.2f} mm high"
        if text.unknown:
            yield f"no such letter in the font: {text.unknown} in {text.text}"


def _frame(drawn: Scene) -> Bounds | None:
    """The outer edge of the frame's line."""
    found = [s for s in drawn.strokes if "frame" in s.at.classes]
    return bounds(found[0].points).grown(found[0].width / 2) if found else None


def outside(drawn: Scene) -> Iterator[str]:
    """What leaves the sheet, or the frame where there is one; the zones stand in the border."""
    sheet = Bounds(0, 0, drawn.width, drawn.height)
    frame = _frame(drawn)
    for text in drawn.texts:
        room = frame if frame and "zone" not in text.at.classes else sheet
        if not room.holds(bounds(text.quad)):
            yield f"outside: {text.text}"
    for shape in (*drawn.strokes, *drawn.areas):
        half = shape.width / 2 if isinstance(shape, Stroke) else 0.0
        box = bounds(shape.points).grown(half)
        if not sheet.holds(box):
            yield f"outside: {_name(shape)} leaves the sheet"
        elif frame and not frame.holds(box) and not _of_border(box, frame, half):
            yield f"outside: {_name(shape)} leaves the frame"


def _of_border(box: Bounds, frame: Bounds, half: float) -> bool:
    """The frame itself, the sheet's edge around it, and marks no longer than the border."""
    if box.holds(frame):
        return True
    short = max(box.right - box.left, box.bottom - box.top) <= BORDER_MM + 2 * half
    return short and not frame.grown(-half - FRAME_MM).meets(box)


def _name(shape: Stroke | Area) -> str:
    (x, y) = shape.points[0]
    words = " ".join(sorted(shape.at.classes - {"lines", "labels"})) or shape.at.tag
    ids = f" {shape.at.ids[-1]}" if shape.at.ids else ""
    return f"{words}{ids} at {x:.1f} {y:.1f}"


def labels_over_labels(drawn: Scene) -> Iterator[str]:
    ordered = sorted(_boxed(drawn), key=lambda t: t.box.left)
    for n, one in enumerate(ordered):
        for other in ordered[n + 1 :]:
            if other.box.left >= one.box.right:
                break
            if one.box.meets(other.box) and overlap(one.text.quad, other.text.quad):
                yield f"{one.text.text} over {other.text.text}"


def labels_run_together(drawn: Scene) -> Iterator[str]:
    """Two labels on one line that stand nearer than a space: they read as one word."""
    for turned in (False, True):
        boxed = [
            _Lettering(x.text, _along(x.box) if turned else x.box)
            for x in _boxed(drawn)
            if _is_turned(x.text) == turned
        ]
        ordered = sorted(boxed, key=lambda t: t.box.left)
        for n, one in enumerate(ordered):
            near = one.box.right + SPACE_EM * one.text.size
            for other in ordered[n + 1 :]:
                if other.box.left >= near:
                    break
                shared = min(one.box.bottom, other.box.bottom) - max(one.box.top, other.box.top)
                if shared > min(one.box.bottom - one.box.top, other.box.bottom - other.box.top) / 2:
                    yield f"{one.text.text} runs into {other.text.text}"


def _is_turned(text: Text) -> bool:
    """True for lettering that is read upwards."""
    (ax, ay), (bx, by) = text.quad[:2]
    return abs(by - ay) > abs(bx - ax)


def _along(box: Bounds) -> Bounds:
    """The box of lettering that is read upwards, laid level."""
    return Bounds(-box.bottom, box.left, -box.top, box.right)


def lines_through_labels(drawn: Scene) -> Iterator[str]:
    """Any stroke that is seen in a label's ink: under it and not covered, or over it."""
    areas = [(a, bounds(a.points)) for a in drawn.areas]
    strokes = [(s, bounds(s.points).grown(s.width / 2)) for s in drawn.strokes]
    for label in _boxed(drawn):
        covers = [a for a, box in areas if box.meets(label.box)]
        for area in covers:
            if area.at.order > label.text.at.order and overlap(label.text.quad, _hull(area)):
                yield f"{_name(area)} lies over {label.text.text}"
        for stroke, box in strokes:
            if box.meets(label.box) and _seen_in(stroke, label.text, covers):
                yield f"{_name(stroke)} through {label.text.text}"


def _hull(area: Area) -> tuple[Point, ...]:
    return bounds(area.points).corners()


def _inner(quad: Sequence[Point]) -> list[Point]:
    """The corners moved inwards by the least that counts."""
    mx, my = (sum(p[n] for p in quad) / len(quad) for n in (0, 1))
    away = [math.hypot(x - mx, y - my) or 1.0 for x, y in quad]
    return [
        (x + (mx - x) * 2 * TOUCH_MM / d, y + (my - y) * 2 * TOUCH_MM / d)
        for (x, y), d in zip(quad, away, strict=True)
    ]


def _seen_in(stroke: Stroke, text: Text, areas: Sequence[Area]) -> bool:
    """Whether some of a stroke is seen in a label; its halo may not hide a wire or leader."""
    grow = max(0.0, stroke.width / 2 - TOUCH_MM)
    over = [
        a
        for a in areas
        if stroke.at.order < a.at.order < text.at.order
        and not (_is_line(stroke, LINES) and "halo" in a.at.classes)
    ]
    if any(all(inside(corner, a.points) for corner in _inner(text.quad)) for a in over):
        return False
    for a, b in pairwise(stroke.points):
        part = clipped(a, b, text.quad, grow)
        if part is None:
            continue
        middle = ((part[0][0] + part[1][0]) / 2, (part[0][1] + part[1][1]) / 2)
        if not any(all(inside(p, o.points) for p in (*part, middle)) for o in over):
            return True
    return False


def faint(drawn: Scene) -> Iterator[str]:
    """Lettering too like what lies under it."""
    areas = [(a, bounds(a.points)) for a in drawn.areas]
    for label in _boxed(drawn):
        text = label.text
        middle = (sum(x for x, _ in text.quad) / 4, sum(y for _, y in text.quad) / 4)
        under = [
            a
            for a, box in areas
            if a.at.order < text.at.order and box.meets(label.box) and inside(middle, a.points)
        ]
        ground = max(under, key=lambda a: a.at.order).colour if under else "#ffffff"
        if contrast(text.colour, ground) < LEAST_CONTRAST:
            yield f"faint: {text.text} in {text.colour} on {ground}"


def _is_line(stroke: Stroke, classes: frozenset[str]) -> bool:
    return bool(stroke.at.classes & classes) and stroke.at.tag in ("line", "polyline", "path")


def symbols(drawn: Scene) -> dict[tuple[int, ...], Bounds]:
    """Shapes and groups of shapes that stand for a thing, by where they are in the file."""
    held: dict[tuple[int, ...], list[Point]] = defaultdict(list)
    for shape in (*drawn.strokes, *drawn.areas):
        if shape.at.classes & SYMBOLS:
            grouped = "element" in shape.at.classes
            held[shape.at.group if grouped else (shape.at.order,)] += shape.points
    return {key: bounds(points) for key, points in held.items()}


def lines_through_symbols(drawn: Scene) -> Iterator[str]:
    """Wires and leaders that cross a symbol at which neither of their ends is.

    A wire may not cross its own symbol either: it ends at its edge.
    """
    things = list(symbols(drawn).values())
    for stroke in drawn.strokes:
        if not _is_line(stroke, WIRES):
            continue
        box = bounds(stroke.points)
        for thing in things:
            if not thing.grown(TOUCH_MM).meets(box):
                continue
            ends = (stroke.points[0], stroke.points[-1])
            own = any(_touches(thing, end) for end in ends)
            if own and "wire" not in stroke.at.classes:
                continue
            room = thing.grown(-0.3 if own else -TOUCH_MM)
            if (
                room.left < room.right
                and room.top < room.bottom
                and any(clipped(a, b, room.corners(), 0.0) for a, b in pairwise(stroke.points))
            ):
                yield f"{_name(stroke)} through a symbol at {thing.left:.1f} {thing.top:.1f}"


def _touches(thing: Bounds, end: Point) -> bool:
    room = thing.grown(0.1)
    return room.left <= end[0] <= room.right and room.top <= end[1] <= room.bottom


RULES = (
    small,
    outside,
    labels_over_labels,
    labels_run_together,
    lines_through_labels,
    faint,
    lines_through_symbols,
)


def faults_of(svg: str) -> list[str]:
    """Every fault of a drawing, each once."""
    drawn = scene(svg)
    return list(dict.fromkeys(fault for rule in RULES for fault in rule(drawn)))


def faults(drawing: Drawing) -> list[str]:
    """Every fault of a drawing, with its name before each."""
    return [f"{drawing.name}: {what}" for what in faults_of(drawing.svg)]

"""Where a wire's number stands: beside the middle of its longest upright stretch, if free there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from buildbook.drawing.shared.box import Box

BESIDE_MM = 0.7
"""From the middle of a wire's line to its label."""
CLEAR_MM = 0.7
"""Half of a wire's line and a little."""
STEP_MM = 1.0
AFTER_MM = 1.2
"""More than that between a label and what stands right of it: it belongs to its own wire."""

Point = tuple[float, float]


def middles(
    lines: Mapping[str, Sequence[Point]],
    labels: Mapping[str, Point],
    sizes: Mapping[str, tuple[float, float]],
    solid: Sequence[Box],
    width: float,
) -> dict[str, Point]:
    """Upper left corner of each label, mm; where no place is free, the one given.

    `labels` are places that the layout keeps free, `sizes` (by the same ids) width and height;
    nothing is laid over `solid`, over a line or another label, or beyond `width`.
    """
    strokes = {id_: _strokes(line) for id_, line in lines.items()}
    boxes = {id_: Box(*at, *sizes[id_]) for id_, at in labels.items()}
    for id_, (wide, high) in sizes.items():
        others = [box for other, box in boxes.items() if other != id_]
        others += [b for other, found in strokes.items() if other != id_ for b in found]
        x, top, foot = _longest(lines[id_])
        own = [b for b in strokes[id_] if b.x > x]
        for y in _from_the_middle(top, foot - high):
            room = Box(x + BESIDE_MM, y, wide + AFTER_MM, high)
            if room.right - AFTER_MM <= width and not any(
                room.overlaps(o) for o in (*others, *own, *solid)
            ):
                boxes[id_] = Box(room.x, y, wide, high)
                break
    return {id_: (box.x, box.y) for id_, box in boxes.items()}


def _strokes(line: Sequence[Point]) -> list[Box]:
    return [
        Box(
            min(a[0], b[0]) - CLEAR_MM,
            min(a[1], b[1]) - CLEAR_MM,
            abs(a[0] - b[0]) + 2 * CLEAR_MM,
            abs(a[1] - b[1]) + 2 * CLEAR_MM,
        )
        for a, b in pairwise(line)
    ]


def _longest(line: Sequence[Point]) -> tuple[float, float, float]:
    """Place, top and foot of the longest upright stretch; the lowest of equals."""
    upright = [
        (a[0], min(a[1], b[1]), max(a[1], b[1]))
        for a, b in pairwise(line)
        if abs(a[0] - b[0]) < 1e-6
    ]
    return max(upright, key=lambda s: (s[2] - s[1], s[2]), default=(line[0][0], 0.0, 0.0))


def _from_the_middle(top: float, last: float) -> list[float]:
    """Places between two, the middle first."""
    if last < top:
        return []
    middle, count = (top + last) / 2, int((last - top) / 2 / STEP_MM)
    steps = (sign * n * STEP_MM for n in range(1, count + 1) for sign in (1, -1))
    return [middle, *(middle + step for step in steps)]

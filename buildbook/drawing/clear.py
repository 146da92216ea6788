"""Lines and boxes that keep clear of each other."""

from __future__ import annotations

from buildbook.drawing.sheet import Box

Point = tuple[float, float]


def crosses(a: Point, b: Point, box: Box) -> bool:
    """Whether the stretch from a to b passes through a box (clipped against its four sides)."""
    low, high = 0.0, 1.0
    for start, step, near, far in (
        (a[0], b[0] - a[0], box.x, box.right), (a[1], b[1] - a[1], box.y, box.bottom)
    ):  # fmt: skip
        if abs(step) < 1e-9:
            if not near < start < far:
                return False
            continue
        enter, leave = sorted(((near - start) / step, (far - start) / step))
        low, high = max(low, enter), min(high, leave)
    return low < high

"""Lines and boxes that keep clear of each other."""

from __future__ import annotations

from buildbook.drawing.shared.box import Box

Point = tuple[float, float]


def crosses(a: Point, b: Point, box: Box) -> bool:
    """Whether the stretch from a to b passes through a box (clipped against its four sides)."""
    (ax, ay), (bx, by) = a, b
    if (ax <= box.x and bx <= box.x) or (ay <= box.y and by <= box.y):
        return False
    right, bottom = box.right, box.bottom
    if (ax >= right and bx >= right) or (ay >= bottom and by >= bottom):
        return False
    low, high = 0.0, 1.0
    for start, step, near, far in ((ax, bx - ax, box.x, right), (ay, by - ay, box.y, bottom)):
        if abs(step) < 1e-9:
            if not near < start < far:
                return False
            continue
        enter, leave = sorted(((near - start) / step, (far - start) / step))
        low, high = max(low, enter), min(high, leave)
    return low < high


def cuts(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the stretches a-b and c-d cross; where one only ends on the other they do not."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return (side(a, b, c) * side(a, b, d) < -1e-9) and (side(c, d, a) * side(c, d, b) < -1e-9)

"""Bodies of vehicles that are no car, from above: our own plain lines, after no maker's shape.

Lines are in shares of the vehicle: of its length from the nose, of half its width from the middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
STEPS = 12
"""Chords of a curve."""


@dataclass(frozen=True)
class Line:
    """A line of one half of a body; the other is its mirror image."""

    points: tuple[Point, ...]
    heavy: bool = True
    """Of the outline; else a detail inside it."""


def curve(*corners: Point) -> tuple[Point, ...]:
    """A Bezier curve as chords."""
    return tuple(_on_curve(list(corners), n / STEPS) for n in range(STEPS + 1))


def _on_curve(corners: list[Point], share: float) -> Point:
    """A place on a Bezier curve (de Casteljau)."""
    while len(corners) > 1:
        corners = [
            (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
            for a, b in pairwise(corners)
        ]
    return corners[0]


MOTORCYCLE = (
    Line(((0.30, 0.0), (0.30, 0.30), (0.33, 0.72), (0.37, 1.0))),
    Line(curve((0.22, 0.0), (0.22, 0.16), (0.24, 0.20), (0.27, 0.20)) + ((0.27, 0.0),), False),
    Line(((0.16, 0.20), (0.32, 0.20)), False),
    Line(
        curve((0.34, 0.0), (0.34, 0.26), (0.38, 0.40), (0.44, 0.40))
        + curve((0.44, 0.40), (0.52, 0.40), (0.56, 0.24), (0.60, 0.24))
        + curve((0.60, 0.24), (0.70, 0.34), (0.86, 0.32), (0.93, 0.22))
        + curve((0.93, 0.22), (0.96, 0.16), (0.97, 0.10), (0.97, 0.0))
    ),
    Line(curve((0.60, 0.24), (0.58, 0.16), (0.57, 0.08), (0.57, 0.0)), False),
    Line(((0.44, 0.40), (0.44, 0.58), (0.57, 0.58), (0.57, 0.24)), False),
)
"""Bars, lamp and fork; tank, seat and tail in one; the engine's sides below the tank."""
OPEN_WHEEL = (
    Line(
        curve((0.0, 0.0), (0.0, 0.16), (0.02, 0.18), (0.06, 0.20))
        + ((0.36, 0.38),)
        + curve((0.36, 0.38), (0.46, 0.50), (0.62, 0.52), (0.74, 0.44))
        + ((1.0, 0.28), (1.0, 0.0))
    ),
    Line(
        curve((0.42, 0.0), (0.42, 0.20), (0.44, 0.26), (0.48, 0.26))
        + curve((0.58, 0.26), (0.61, 0.24), (0.62, 0.16), (0.62, 0.0)),
        False,
    ),
)
"""A body between the wheels, and its cockpit."""
TRAILER = (
    Line(((0.28, 0.0), (0.28, 0.92), (1.0, 0.92), (1.0, 0.0))),
    Line(((0.0, 0.0), (0.28, 0.62))),
    Line(curve((0.0, 0.0), (-0.01, 0.04), (0.02, 0.06), (0.03, 0.064))),
)
"""A box behind its drawbar."""
BOAT = (
    Line(
        curve((0.0, 0.0), (0.10, 0.60), (0.26, 0.96), (0.46, 1.0))
        + curve((0.46, 1.0), (0.66, 1.0), (0.86, 0.96), (1.0, 0.84))
        + ((1.0, 0.0),)
    ),
    Line(
        curve((0.36, 0.0), (0.38, 0.46), (0.42, 0.72), (0.52, 0.74)) + ((0.92, 0.68), (0.92, 0.0)),
        False,
    ),
)
"""A hull with its transom, and its cockpit."""
PLAIN = (Line(((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0))),)
"""As long and as wide as it is, whatever it is."""
BODIES = {
    "motorcycle": MOTORCYCLE,
    "open wheel": OPEN_WHEEL,
    "trailer": TRAILER,
    "boat": BOAT,
    "plain": PLAIN,
}

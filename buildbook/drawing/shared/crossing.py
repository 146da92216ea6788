"""Where the wires of a schematic cross: a level stretch of one and an upright one of another."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
SAME_MM = 1e-6
"""Stretches whose ends differ by less than this run straight."""


@dataclass(frozen=True)
class Crossing:
    """A level wire that passes over an upright one, places in mm."""

    wire: str
    at: Point
    top: float
    """Where the upright stretch below it begins."""
    foot: float


def crossings(lines: Mapping[str, Sequence[Point]]) -> Iterator[Crossing]:
    """Every crossing of lines of level and upright stretches.

    What only touches, an end on a stretch, is no crossing.
    """
    upright = sorted(
        (a[0], min(a[1], b[1]), max(a[1], b[1]), id_)
        for id_, line in lines.items()
        for a, b in pairwise(line)
        if abs(a[0] - b[0]) < SAME_MM
    )
    places = [x for x, *_ in upright]
    for id_, line in lines.items():
        for a, b in pairwise(line):
            if abs(a[1] - b[1]) >= SAME_MM or abs(a[0] - b[0]) < SAME_MM:
                continue
            left, right = sorted((a[0], b[0]))
            near = upright[bisect_right(places, left) : bisect_left(places, right)]
            for x, top, foot, other in near:
                if other != id_ and top < a[1] < foot:
                    yield Crossing(id_, (x, a[1]), top, foot)

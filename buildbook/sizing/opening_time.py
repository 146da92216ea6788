"""The band of time in which a fuse opens: its fastest and its slowest side at any current."""

from __future__ import annotations

import math

from buildbook.catalogue.model import FuseFamily


def fastest_s(fuse: FuseFamily, rating_a: float, current_a: float) -> float:
    """Shortest time in which the fuse may open, s; straight on log-log paper between its points.

    Endless up to the first point, which it holds; past the last the heat that melts it, I2 t,
    stays the same.
    """
    points = [(multiple, shortest) for multiple, shortest, _ in fuse.bands]
    multiple = current_a / rating_a
    return math.inf if multiple <= points[0][0] else _between(points, multiple)


def slowest_s(fuse: FuseFamily, rating_a: float, current_a: float) -> float:
    """Longest time that the fuse may take, s; endless below the first point that bounds it."""
    points = [(multiple, longest) for multiple, _, longest in fuse.bands if longest is not None]
    multiple = current_a / rating_a
    return math.inf if multiple < points[0][0] * (1 - 1e-9) else _between(points, multiple)


def surely_opens_a(fuse: FuseFamily, rating_a: float) -> float:
    """Least current at which the fuse is sure to open some time, A."""
    return rating_a * next(multiple for multiple, _, longest in fuse.bands if longest is not None)


def _between(points: list[tuple[float, float]], multiple: float) -> float:
    for (low, low_s), (high, high_s) in zip(points, points[1:], strict=False):
        if multiple <= high:
            part = math.log(multiple / low) / math.log(high / low)
            return low_s * math.pow(high_s / low_s, part)
    last, last_s = points[-1]
    return last_s * (last / multiple) ** 2

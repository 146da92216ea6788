"""The wires of each run, and how thick they are together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np

from buildbook.harness.model import Bundle, Wire
from buildbook.vehicle.model import Run

PACKED_UP_TO = 24
"""Bundles up to this many wires are packed circle by circle, thicker ones by area."""
LARGE_FILL = 0.74
"""Share of a thick bundle's section that is wire; below the 0.80 of 19 equal circles."""


def bundles(runs: Iterable[Run], wires: Iterable[Wire]) -> dict[str, Bundle]:
    """Run id -> the wires laid along it, in wire order."""
    held: dict[str, list[str]] = {run.id: [] for run in runs}
    for wire in wires:
        for run in wire.runs:
            held[run].append(wire.id)
    return {run: Bundle(run, tuple(ids)) for run, ids in held.items()}


def bundle_diameter_mm(od_mm: Sequence[float]) -> float:
    """Outside diameter in mm of wires of these outside diameters, laid round and tight.

    Up to 24 wires: the best of three real arrangements (all on one ring; the thinnest on a ring
    around the others; thickest first, each as near the middle as it goes), so never less than
    the best packing.
    More: by area at 74 percent fill.
    """
    if not od_mm:
        return 0.0
    return _diameter(tuple(sorted((round(float(d), 3) for d in od_mm), reverse=True)))


@lru_cache(maxsize=4096)
def _diameter(od: tuple[float, ...]) -> float:
    if len(od) == 1:
        return od[0]
    if len(od) > PACKED_UP_TO:
        by_area = math.sqrt(sum(d * d for d in od) / LARGE_FILL)
        return max(by_area, od[0] + od[1])
    radii = [d / 2 for d in od]
    return 2 * min(_pile(radii), _ring(radii), _layered(od))


def _layered(od: tuple[float, ...]) -> float:
    """Radius with the thinnest on one ring around the others: the ring just large enough."""
    low, high = 2, len(od) - 1
    best = math.inf
    while low <= high:
        count = (low + high) // 2
        radii = [d / 2 for d in od[-count:]]
        core = _diameter(od[:-count]) / 2
        best = min(best, _ring(radii, core))
        if _ring(radii) < core + 2 * max(radii):
            low = count + 1
        else:
            high = count - 1
    return best


def _turn(outer: float, a: float, b: float) -> float:
    """Angle between two touching circles that both touch the outer circle from inside."""
    u, v = outer - a, outer - b
    cosine = (u * u + v * v - (a + b) ** 2) / (2 * u * v)
    return math.acos(max(-1.0, min(1.0, cosine)))


def _ring(radii: list[float], core: float = 0.0) -> float:
    """Radius of the circle that holds these on one ring inside it, around a core if any.

    Infinite where the ring does not hold them clear of each other.
    """
    ordered = radii[::2] + radii[1::2][::-1]
    pairs = list(zip(ordered, ordered[1:] + ordered[:1], strict=True))

    def around(outer: float) -> float:
        return sum(_turn(outer, a, b) for a, b in pairs)

    low = max(max(a + b for a, b in pairs), core + 2 * max(radii))
    high = 2 * sum(radii) + core
    if around(low) <= 2 * math.pi:
        high = low
    for _ in range(60 if high > low else 0):
        middle = (low + high) / 2
        low, high = (middle, high) if around(middle) > 2 * math.pi else (low, middle)
    angles = [0.0]
    for a, b in pairs[:-1]:
        angles.append(angles[-1] + _turn(high, a, b))
    xy = [
        ((high - r) * math.cos(t), (high - r) * math.sin(t))
        for r, t in zip(ordered, angles, strict=True)
    ]
    clear = all(
        math.dist(xy[i], xy[j]) >= ordered[i] + ordered[j] - 1e-6
        for i in range(len(xy))
        for j in range(i)
    )
    return high if clear else math.inf


def _pile(radii: list[float]) -> float:
    """Radius round circles laid one after the other, each touching two, nearest the middle."""
    xy = [(-radii[1], 0.0), (radii[0], 0.0)]
    for n in range(2, len(radii)):
        xy.append(_nearest(np.array(xy), np.array(radii[:n]), radii[n]))
    return _enclosing(np.array(xy), np.array(radii))


def _nearest(xy: np.ndarray, radii: np.ndarray, radius: float) -> tuple[float, float]:
    """Place for one more circle: touching two of those laid, clear of all, nearest the centroid."""
    weights = radii**2
    middle = (xy * weights[:, None]).sum(axis=0) / weights.sum()
    i, j = np.triu_indices(len(radii), 1)
    a, b = radii[i] + radius, radii[j] + radius
    step = xy[j] - xy[i]
    gap = np.hypot(step[:, 0], step[:, 1])
    close = (gap < a + b) & (gap > 1e-9)
    i, a, b, step, gap = i[close], a[close], b[close], step[close], gap[close]
    along = (a * a - b * b + gap * gap) / (2 * gap)
    aside = np.sqrt(np.maximum(a * a - along * along, 0.0))
    unit = step / gap[:, None]
    normal = np.column_stack([-unit[:, 1], unit[:, 0]])
    foot = xy[i] + along[:, None] * unit
    spots = np.vstack([foot + aside[:, None] * normal, foot - aside[:, None] * normal])
    apart = np.hypot(*(spots[:, None, :] - xy[None, :, :]).transpose(2, 0, 1))
    clear = (apart >= radii[None, :] + radius - 1e-7).all(axis=1)
    far = np.where(clear, np.round(np.hypot(*(spots - middle).T), 9), np.inf)
    x, y = spots[int(np.argmin(far))]
    return float(x), float(y)


def _enclosing(xy: np.ndarray, radii: np.ndarray) -> float:
    """Radius of a circle round all of them: the middle steps towards the furthest, ever less."""
    middle = xy.mean(axis=0)
    reach, best = 0.5, math.inf
    for _ in range(400):
        far = np.hypot(*(xy - middle).T) + radii
        worst = int(np.argmax(far))
        best = min(best, float(far[worst]))
        step = xy[worst] - middle
        middle = middle + step * reach * 0.1
        reach *= 0.985
    return best

"""Circles packed in the smallest round: how wires lie in a bundle that is pulled tight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

SQUEEZED_UP_TO = 60
"""Circles up to which more than one arrangement is tried; more fill the round well at once."""
ROUNDS = 7
"""Squeezes of one arrangement; each that fails is followed by one half as strong."""
PUSHES = 80
"""Most steps in which circles that overlap push each other apart."""
GOLDEN = 2.399963229728653
"""Golden angle, pi (3 - sqrt 5): points along a spiral turned by it are spread evenly."""


@dataclass(frozen=True)
class Packing:
    """Circles in a round: their centres about its middle, in the order they were given."""

    radius: float
    centres: tuple[tuple[float, float], ...]


def pack(radii: Sequence[float]) -> Packing:
    """Circles of these radii in a round that is near the smallest; none overlap.

    The radius is that of a real arrangement, so never below the best there is. Same circles in
    another order are packed the same.
    """
    order = sorted(range(len(radii)), key=lambda n: -radii[n])
    radius, found = _packed(tuple(round(float(radii[n]), 6) for n in order))
    place = dict(zip(order, found, strict=True))
    return Packing(radius, tuple(place[n] for n in range(len(radii))))


@lru_cache(maxsize=4096)
def _packed(radii: tuple[float, ...]) -> tuple[float, tuple[tuple[float, float], ...]]:
    """Radius and centres for radii that fall."""
    if not radii:
        return 0.0, ()
    r = np.array(radii)
    starts = [_pile(r)]
    if 3 < len(radii) <= SQUEEZED_UP_TO:
        starts += [_spiral(r, hollow) for hollow in ((0.0, 0.5, 1.0) if len(r) < 25 else (0.5,))]
    best, places = min((_squeezed(xy, r) for xy in starts), key=lambda found: found[0])
    return best, tuple((float(x), float(y)) for x, y in places)


def _spiral(r: np.ndarray, start: float) -> np.ndarray:
    """Centres along a spiral, thickest in the middle, spread over a round of twice the area."""
    count = np.arange(len(r)) + start
    reach = np.sqrt(2 * np.sum(r**2)) * np.sqrt(count / count[-1])
    return np.column_stack([reach * np.cos(count * GOLDEN), reach * np.sin(count * GOLDEN)])


def _squeezed(xy: np.ndarray, r: np.ndarray) -> tuple[float, np.ndarray]:
    """The arrangement pressed into ever smaller rounds while that makes it smaller."""
    best, places = _apart(xy, r)
    if len(r) < 4:
        return best, places
    least = max(r[0] + r[1], float(np.sqrt(np.sum(r**2))))
    rounds = ROUNDS if len(r) <= SQUEEZED_UP_TO else 2
    share = 0.5
    for _ in range(rounds):
        target = best - share * (best - least)
        radius, moved = _apart(_pushed(places, r, target), r)
        if radius < best * (1 - 1e-6):
            best, places = radius, moved
        else:
            share /= 2
    return best, places


def _pushed(xy: np.ndarray, r: np.ndarray, radius: float) -> np.ndarray:
    """Circles that overlap or stand out of a round push each other: least squares of overlap.

    Gradient steps with the length of Barzilai and Borwein (IMA J. Numer. Anal. 8, 1988).
    """
    reach = r[:, None] + r
    np.fill_diagonal(reach, -1.0)
    room = radius - r
    z = xy[:, 0] + 1j * xy[:, 1]
    step, last, last_slope = 0.25, z, np.zeros_like(z)
    for _ in range(PUSHES):
        between = z[:, None] - z
        away = np.abs(between) + 1e-12
        out = np.abs(z) + 1e-12
        slope = 2 * z * np.maximum(1 - room / out, 0.0)
        slope -= 2 * np.sum(between * np.maximum(reach / away - 1, 0.0), axis=1)
        if np.vdot(slope, slope).real < 1e-14 * radius**2:
            break
        moved = z - last
        curve = np.vdot(moved, slope - last_slope).real
        if curve > 0:
            step = min(max(np.vdot(moved, moved).real / curve, 0.02), 1.0)
        last, last_slope = z, slope
        z = z - step * slope
    return np.column_stack([z.real, z.imag])


def _apart(xy: np.ndarray, r: np.ndarray) -> tuple[float, np.ndarray]:
    """Radius and centres with the arrangement spread, or drawn in, until its closest touch."""
    if len(r) > 1:
        i, j = np.triu_indices(len(r), 1)
        gap = np.hypot(*(xy[i] - xy[j]).T)
        xy = xy * float(np.max((r[i] + r[j]) / np.maximum(gap, 1e-9)))
    middle, radius = enclosing(xy, r)
    return radius, xy - middle


def enclosing(xy: np.ndarray, r: np.ndarray) -> tuple[np.ndarray, float]:
    """Middle and radius of the smallest round that holds circles.

    Rests on two or three of them; while one stands out it joins those, and the round that rests
    on the best of them grows.
    """
    held = [int(np.argmax(r))]
    middle, radius = xy[held[0]], float(r[held[0]])
    for _ in range(20 + 2 * len(r)):
        far = np.hypot(*(xy - middle).T) + r
        worst = int(np.argmax(far))
        if far[worst] <= radius * (1 + 1e-12) or worst in held:
            break
        held, middle, radius = _resting([*held, worst], xy, r)
    return middle, float(np.max(np.hypot(*(xy - middle).T) + r))


def _resting(
    held: list[int], xy: np.ndarray, r: np.ndarray
) -> tuple[list[int], np.ndarray, float]:
    """The smallest round on two or three of a few circles that holds all of these."""
    best: tuple[list[int], np.ndarray, float] | None = None
    for few in [*combinations(held, 2), *combinations(held, 3)]:
        for middle, radius in _touching(xy[list(few)], r[list(few)]):
            reach = np.hypot(*(xy[held] - middle).T) + r[held]
            if (best is None or radius < best[2]) and reach.max() <= radius * (1 + 1e-9):
                best = list(few), middle, radius
    return best or (held[-1:], xy[held[-1]], float(r[held[-1]]))


def _touching(xy: np.ndarray, r: np.ndarray) -> list[tuple[np.ndarray, float]]:
    """Rounds that two (the smallest) or three circles touch from inside."""
    if len(r) == 2:
        gap = float(np.hypot(*(xy[1] - xy[0])))
        if gap + min(r) <= max(r):
            return [(xy[int(np.argmax(r))], float(max(r)))]
        radius = (gap + r[0] + r[1]) / 2
        return [(xy[0] + (xy[1] - xy[0]) * (radius - r[0]) / gap, float(radius))]
    # |c - p| = R - r for all three; less the first, c is linear in R: c = a + b R
    d = 2 * (xy[1:] - xy[0])
    if abs(np.linalg.det(d)) < 1e-12:
        return []
    known = np.sum(xy[1:] ** 2, 1) - np.sum(xy[0] ** 2) - r[1:] ** 2 + r[0] ** 2
    a, b = np.linalg.solve(d, np.column_stack([known, 2 * (r[1:] - r[0])])).T
    p = a - xy[0]
    square, linear, rest = b @ b - 1, 2 * (p @ b + r[0]), p @ p - r[0] ** 2
    even = abs(square) < 1e-12
    roots = np.array([-rest / linear]) if even else np.roots([square, linear, rest])
    real = [float(x.real) for x in roots if abs(x.imag) < 1e-9 and x.real >= r.max()]
    return [(a + b * radius, radius) for radius in real]


def _pile(r: np.ndarray) -> np.ndarray:
    """Centres of circles laid thickest first, each touching two as near the middle as it goes."""
    x, y = np.zeros(len(r)), np.zeros(len(r))
    x[1:2] = r[:1] + r[1:2]
    spots = np.empty((0, 2))
    for n in range(2, len(r)):
        if n == 2 or r[n] != r[n - 1]:
            spots = np.vstack([_beside(i, x, y, r, r[n], i) for i in range(1, n)])
            spots = _free(spots, x[:n], y[:n], r[:n] + r[n])
        else:
            spots = _free(spots, x[n - 1 : n], y[n - 1 : n], r[n - 1 : n] + r[n])
            fresh = _beside(n - 1, x, y, r, r[n], n - 1)
            spots = np.vstack([spots, _free(fresh, x[:n], y[:n], r[:n] + r[n])])
        x[n], y[n] = _nearest(spots, x[:n], y[:n], r[:n])
    return np.column_stack([x, y])


def _nearest(
    spots: np.ndarray, x: np.ndarray, y: np.ndarray, r: np.ndarray
) -> tuple[float, float]:
    """The spot nearest to the circles' common centre of area; leftmost, then topmost, of equals."""
    weights = r**2 / np.sum(r**2)
    away = np.hypot(spots[:, 0] - x @ weights, spots[:, 1] - y @ weights).round(9)
    near = spots[away == away.min()]
    return min((float(px), float(py)) for px, py in near)


def _free(spots: np.ndarray, x: np.ndarray, y: np.ndarray, reach: np.ndarray) -> np.ndarray:
    """The spots that keep `reach` clear of every circle."""
    square = (spots[:, :1] - x) ** 2 + (spots[:, 1:] - y) ** 2
    return spots[np.all(square >= (reach - 1e-7) ** 2, axis=1)]


def _beside(
    i: int, x: np.ndarray, y: np.ndarray, r: np.ndarray, radius: float, count: int
) -> np.ndarray:
    """Centres of the circles of `radius` that touch circle i and one of the first `count`."""
    gap = np.hypot(x[:count] - x[i], y[:count] - y[i])
    near = np.flatnonzero(gap <= r[i] + r[:count] + 2 * radius)
    gap = gap[near]
    along = (gap**2 + (r[i] + radius) ** 2 - (r[near] + radius) ** 2) / (2 * gap)
    square = (r[i] + radius) ** 2 - along**2
    kept = square >= 0
    near, gap, along, up = near[kept], gap[kept], along[kept], np.sqrt(square[kept])
    ux, uy = (x[near] - x[i]) / gap, (y[near] - y[i]) / gap
    sides = [
        np.column_stack([x[i] + along * ux - s * up * uy, y[i] + along * uy + s * up * ux])
        for s in (1, -1)
    ]
    return np.vstack(sides)

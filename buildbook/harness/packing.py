"""Circles packed in the smallest round: how wires lie in a bundle that is pulled tight."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

SQUEEZED_UP_TO = 60
"""Circles up to which more than one arrangement is tried; more fill the round well at once."""
FEW = 24
"""Circles up to which many arrangements are tried."""
FIRST_ROUNDS, ROUNDS = 4, 5
"""Squeezes of every arrangement, and then of the best; one that fails is followed by one half as
strong. What they reach is always a real arrangement, if perhaps a wider one."""
PUSHES = 60
"""Most steps in which circles that overlap push each other apart; what still overlaps then is
spread until it does not, so that fewer steps give a wider arrangement and never a false one."""
GOLDEN = 2.399963229728653
"""Golden angle, pi (3 - sqrt 5): points along a spiral turned by it are spread evenly."""


@dataclass(frozen=True)
class Packing:
    """Circles in a round: their centres about its middle, in the order they were given."""

    radius: float
    centres: tuple[tuple[float, float], ...]


Falling = tuple[float, ...]
"""Radii, the largest first."""
Placed = tuple[float, tuple[tuple[float, float], ...]]
"""Radius of the round, and the centres in it."""
MOST_KNOWN = 4096
_KNOWN: dict[Falling, Placed] = {}


def known() -> dict[Falling, Placed]:
    """The packings that are known in this process, those found longest ago first."""
    return dict(_KNOWN)


def know(packings: Mapping[Falling, Placed]) -> None:
    """Take over packings that another run found, as far as there is room for them."""
    for falling, placed in packings.items():
        if len(_KNOWN) < MOST_KNOWN:
            _KNOWN.setdefault(falling, placed)


def pack(radii: Sequence[float]) -> Packing:
    """Circles of these radii in a round that is near the smallest; none overlap.

    The radius is that of a real arrangement, so never below the best there is. Same circles in
    another order are packed the same.
    """
    order = sorted(range(len(radii)), key=lambda n: -radii[n])
    falling = tuple(round(float(radii[n]), 6) for n in order)
    if falling not in _KNOWN:
        if len(_KNOWN) >= MOST_KNOWN:
            del _KNOWN[next(iter(_KNOWN))]
        _KNOWN[falling] = _packed(falling)
    radius, found = _KNOWN[falling]
    place = dict(zip(order, found, strict=True))
    return Packing(radius, tuple(place[n] for n in range(len(radii))))


def _packed(radii: Falling) -> Placed:
    """Radius and centres for radii that fall."""
    if not radii:
        return 0.0, ()
    r = np.array(radii)
    starts = [_pile(r)]
    if 3 < len(radii) <= SQUEEZED_UP_TO:
        starts += _spirals(r)
    tried = _squeezed(starts, r, FIRST_ROUNDS)
    best, places = min(tried, key=lambda found: found[0])
    if 3 < len(radii) <= SQUEEZED_UP_TO:
        ((best, places),) = _squeezed([places], r, ROUNDS)
    return best, tuple((float(x), float(y)) for x, y in places)


def _spirals(r: np.ndarray) -> list[np.ndarray]:
    """Loose arrangements to begin with: thickest in the middle, and of few, thinnest or mixed."""
    if len(r) > FEW:
        return [_spiral(r, 0.5)]
    back = np.arange(len(r))[::-1]
    mixed = np.argsort(np.argsort(np.arange(len(r)) % 2, kind="stable"))
    return [
        *(_spiral(r, hollow) for hollow in (0.0, 0.5, 1.0)),
        *(_spiral(r, 0.5)[order] for order in (back, mixed)),
    ]


def _spiral(r: np.ndarray, hollow: float) -> np.ndarray:
    """Points from the middle outwards along a spiral, spread over a round of twice the area."""
    count = np.arange(len(r)) + hollow
    reach = np.sqrt(2 * np.sum(r**2)) * np.sqrt(count / count[-1])
    return np.column_stack([reach * np.cos(count * GOLDEN), reach * np.sin(count * GOLDEN)])


def _squeezed(
    starts: Sequence[np.ndarray], r: np.ndarray, rounds: int
) -> list[tuple[float, np.ndarray]]:
    """Each arrangement pressed into ever smaller rounds while that makes it smaller."""
    found = [_apart(xy, r) for xy in starts]
    if len(r) < 4:
        return found
    least = max(r[0] + r[1], float(np.sqrt(np.sum(r**2))))
    share = [0.5] * len(found)
    for _ in range(rounds):
        targets = [best - s * (best - least) for (best, _), s in zip(found, share, strict=True)]
        pushed = _pushed([places for _, places in found], r, targets)
        for n, xy in enumerate(pushed):
            radius, moved = _apart(xy, r)
            if radius < found[n][0] * (1 - 1e-6):
                found[n] = radius, moved
            else:
                share[n] /= 2
    return found


def _pushed(
    places: Sequence[np.ndarray], r: np.ndarray, radii: Sequence[float]
) -> list[np.ndarray]:
    """Circles that overlap or stand out of a round push each other: least squares of overlap.

    Several arrangements side by side, each in its own round; what has come to rest drops out.
    Gradient steps with the length of Barzilai and Borwein (IMA J. Numer. Anal. 8, 1988).
    """
    reach = r[:, None] + r
    np.fill_diagonal(reach, -1.0)
    rest = [xy[:, 0] + 1j * xy[:, 1] for xy in places]
    live = list(range(len(rest)))
    z = np.array(rest)
    room = np.array(radii)[:, None] - r
    step, last, last_slope = [0.25] * len(rest), z, np.zeros_like(z)
    for _ in range(PUSHES):
        slope = _slope(z, reach, room)
        moving = [
            n for n, at in enumerate(live) if _dot(slope[n], slope[n]) >= 1e-14 * radii[at] ** 2
        ]
        if len(moving) < len(live):
            for n in set(range(len(live))) - set(moving):
                rest[live[n]] = z[n]
            live = [live[n] for n in moving]
            z, slope, last, last_slope, room = (
                x[moving] for x in (z, slope, last, last_slope, room)
            )
        if not live:
            break
        moved, bent = z - last, slope - last_slope
        for n, at in enumerate(live):
            curve = _dot(moved[n], bent[n])
            if curve > 0:
                step[at] = min(max(_dot(moved[n], moved[n]) / curve, 0.02), 1.0)
        last, last_slope = z, slope
        z = z - np.array([step[at] for at in live])[:, None] * slope
    for n, at in enumerate(live):
        rest[at] = z[n]
    return [np.column_stack([one.real, one.imag]) for one in rest]


def _dot(a: np.ndarray, b: np.ndarray) -> float:
    """Of two vectors in the plane; summed alike by every processor, as a linear algebra library
    does not: the last bits of a step decide which arrangement is found."""
    return float(np.sum(a.real * b.real + a.imag * b.imag))


def _far(z: np.ndarray) -> np.ndarray:
    """How far from the middle: of sums, products and a root, which every processor rounds alike."""
    far: np.ndarray = np.sqrt(z.real * z.real + z.imag * z.imag)
    return far


def _slope(z: np.ndarray, reach: np.ndarray, room: np.ndarray) -> np.ndarray:
    """Gradient of the squares of overlap and of standing out, arrangements x circles."""
    between = z[:, :, None] - z[:, None, :]
    away = _far(between) + 1e-12
    out = _far(z) + 1e-12
    slope: np.ndarray = 2 * z * np.maximum(1 - room / out, 0.0)
    slope -= 2 * np.sum(between * np.maximum(reach / away - 1, 0.0), axis=2)
    return slope


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

    It rests on two or three of them: while one stands out, the smallest round that rests on that
    one and some of the last is taken. Each is larger than the last, so none comes twice, and of
    so many circles only so many can be made: it ends.
    """
    held = [int(np.argmax(r))]
    middle, radius = xy[held[0]], float(r[held[0]])
    while True:
        far = np.hypot(xy[:, 0] - middle[0], xy[:, 1] - middle[1]) + r
        worst = int(np.argmax(far))
        if far[worst] <= radius * (1 + 1e-12) or worst in held:
            break
        circles = {n: (float(xy[n, 0]), float(xy[n, 1]), float(r[n])) for n in [worst, *held]}
        found = _resting(circles, worst)
        if found is None or found[3] <= radius:
            break
        held, x, y, radius = found
        middle = np.array([x, y])
    return middle, float(np.max(np.hypot(xy[:, 0] - middle[0], xy[:, 1] - middle[1]) + r))


Circle = tuple[float, float, float]
"""Middle x and y, radius."""


def _resting(
    circles: dict[int, Circle], fixed: int
) -> tuple[list[int], float, float, float] | None:
    """The smallest round on one circle and one or two more that holds all: those, x, y, radius."""
    others = [n for n in circles if n != fixed]
    best: tuple[list[int], float, float, float] | None = None
    for few in [*combinations(others, 1), *combinations(others, 2)]:
        for x, y, radius in _touching([circles[fixed], *(circles[n] for n in few)]):
            smaller = best is None or radius < best[3]
            if smaller and all(
                math.hypot(cx - x, cy - y) + cr <= radius * (1 + 1e-9)
                for cx, cy, cr in circles.values()
            ):
                best = [fixed, *few], x, y, radius
    return best


def _touching(circles: Sequence[Circle]) -> list[Circle]:
    """Rounds that two circles (the smallest such) or three touch from inside."""
    (x0, y0, r0), (x1, y1, r1), *third = circles
    if not third:
        gap = math.hypot(x1 - x0, y1 - y0)
        if gap + min(r0, r1) <= max(r0, r1):
            return [max(circles, key=lambda circle: circle[2])]
        radius = (gap + r0 + r1) / 2
        along = (radius - r0) / gap
        return [(x0 + (x1 - x0) * along, y0 + (y1 - y0) * along, radius)]
    # hypot(x - xi, y - yi) = R - ri for all three; the first taken off the others leaves x and y
    # linear in R: x = ax + bx R, y = ay + by R, measured from the first
    x2, y2, r2 = third[0]
    dx1, dy1, dx2, dy2 = x1 - x0, y1 - y0, x2 - x0, y2 - y0
    cross = 2 * (dx1 * dy2 - dx2 * dy1)
    if abs(cross) < 1e-12:
        return []
    k1, k2 = dx1 * dx1 + dy1 * dy1 - r1 * r1 + r0 * r0, dx2 * dx2 + dy2 * dy2 - r2 * r2 + r0 * r0
    ax, ay = (k1 * dy2 - k2 * dy1) / cross, (k2 * dx1 - k1 * dx2) / cross
    bx = 2 * ((r1 - r0) * dy2 - (r2 - r0) * dy1) / cross
    by = 2 * ((r2 - r0) * dx1 - (r1 - r0) * dx2) / cross
    a, b, c = bx * bx + by * by - 1, 2 * (ax * bx + ay * by + r0), ax * ax + ay * ay - r0 * r0
    roots = _roots(a, b, c)
    return [(x0 + ax + bx * n, y0 + ay + by * n, n) for n in roots if n >= max(r0, r1, r2)]


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a x x + b x + c."""
    if abs(a) < 1e-12:
        return (-c / b,) if b else ()
    square = b * b - 4 * a * c
    if square < 0:
        return ()
    return (-b - math.sqrt(square)) / (2 * a), (-b + math.sqrt(square)) / (2 * a)


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


def piled_on(
    inside: float, radii: Sequence[float], may_lie: Callable[[int, float, float], bool]
) -> list[tuple[float, float]] | None:
    """Centres of circles laid one after the other on a round core about (0, 0) of radius `inside`.

    Each touches two that lie already, reaching out as little as it can of where `may_lie`, given
    its number and place, lets it; the first lies at the top. None where one finds no place.
    """
    r = np.array([inside, *radii])
    x, y = np.zeros(len(r)), np.zeros(len(r))
    for n in range(1, len(r)):
        spots = np.array([(0.0, inside + r[1])])
        if n > 1:
            beside = [_beside(i, x, y, r, r[n], i) for i in range(1, n)]
            spots = _free(np.vstack(beside), x[:n], y[:n], r[:n] + r[n])
        away = np.hypot(spots[:, 0], spots[:, 1]).round(6)
        turned = np.arctan2(spots[:, 0], spots[:, 1]).round(6)
        order = np.lexsort((turned % (2 * np.pi), away))
        found = next(
            (at for at in order if may_lie(n - 1, float(spots[at, 0]), float(spots[at, 1]))), None
        )
        if found is None:
            return None
        x[n], y[n] = spots[found]
    return [(float(px), float(py)) for px, py in zip(x[1:], y[1:], strict=True)]


def _nearest(spots: np.ndarray, x: np.ndarray, y: np.ndarray, r: np.ndarray) -> tuple[float, float]:
    """The spot nearest to the circles' common centre of area; leftmost, then topmost, of equals."""
    weights = r**2 / np.sum(r**2)
    away = np.hypot(spots[:, 0] - np.sum(x * weights), spots[:, 1] - np.sum(y * weights))
    away = away.round(9)
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

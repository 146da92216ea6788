"""Packing of rectangles on as few sheets as can be, and spreading them over each sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from math import fsum
from types import MappingProxyType

Size = tuple[float, float]
"""Width and height in mm."""
NO_MARKS: Mapping[int, Set[str]] = MappingProxyType({})
Spot = tuple[int, float, float]
"""Number of the rectangle, and left and top of its place in mm."""


def pack(
    sizes: Sequence[Size],
    room: Size,
    gap: float,
    first: Sequence[int] = (),
    marks: Mapping[int, Set[str]] = NO_MARKS,
) -> list[list[Spot]]:
    """The rectangles by sheet, every pair at least `gap` apart; those of `first` placed first.

    Rectangles with a mark in common are not put on the same sheet.

    Several orders are tried and the one that needs least paper is kept. What is larger than
    the room stands in the corner of a sheet.
    """
    keys: tuple[Callable[[Size], float], ...] = (
        lambda s: round(s[1] / 10),
        lambda s: s[1],
        lambda s: s[0] * s[1],
        lambda s: s[0],
        lambda s: s[0] / room[0] + s[1] / room[1],
    )
    tried = []
    for key in keys:
        order = sorted(range(len(sizes)), key=lambda n: (n not in first, -key(sizes[n])))  # noqa: B023
        tried.append(_packed(sizes, order, room, gap, marks))
    best = min(tried, key=lambda sheets: (len(sheets), _area(sheets[-1:], sizes)))
    return _evened(best, sizes, room, gap, first, marks)


def _area(sheets: Sequence[Sequence[Spot]], sizes: Sequence[Size]) -> float:
    return fsum(sizes[n][0] * sizes[n][1] for sheet in sheets for n, _, _ in sheet)


def _evened(
    sheets: list[list[Spot]],
    sizes: Sequence[Size],
    room: Size,
    gap: float,
    first: Sequence[int],
    marks: Mapping[int, Set[str]],
) -> list[list[Spot]]:
    """The sheets after rectangles moved from the fullest to the emptiest while that evens them.

    Every move leaves a right packing: the cap on moves can cost evenness only.
    """
    for _ in range(4 * len(sizes)):
        move = _evening_move(sheets, sizes, room, gap, first, marks)
        if not move:
            break
        full, low, spot = move
        low.append(spot)
        full[:] = [other for other in full if other[0] != spot[0]]
    return sheets


def _evening_move(
    sheets: list[list[Spot]],
    sizes: Sequence[Size],
    room: Size,
    gap: float,
    first: Sequence[int],
    marks: Mapping[int, Set[str]],
) -> tuple[list[Spot], list[Spot], Spot] | None:
    """(from, to, place) of a rectangle that makes two sheets more alike in area covered."""
    too_large: set[tuple[Size, frozenset[str]]] = set()
    low = min(sheets, key=lambda s: _area([s], sizes), default=[])
    for full in sorted(sheets, key=lambda s: -_area([s], sizes)):
        over = _area([full], sizes) - _area([low], sizes)
        movable = [n for n, _, _ in full if n not in first and sizes[n][0] * sizes[n][1] < over]
        for n in sorted(movable, key=lambda n: abs(2 * sizes[n][0] * sizes[n][1] - over)):  # noqa: B023
            alike = (sizes[n], frozenset(marks.get(n, ())))
            spot = None if alike in too_large else _spot(sizes, low, n, room, gap, marks)
            if spot:
                return full, low, spot
            too_large.add(alike)
    return None


def _packed(
    sizes: Sequence[Size],
    order: Sequence[int],
    room: Size,
    gap: float,
    marks: Mapping[int, Set[str]],
) -> list[list[Spot]]:
    sheets: list[list[Spot]] = []
    for n in order:
        for sheet in sheets:
            spot = _spot(sizes, sheet, n, room, gap, marks)
            if spot:
                sheet.append(spot)
                break
        else:
            sheets.append([(n, 0.0, 0.0)])
    return sheets


def _spot(
    sizes: Sequence[Size],
    sheet: Sequence[Spot],
    n: int,
    room: Size,
    gap: float,
    marks: Mapping[int, Set[str]],
) -> Spot | None:
    """The highest, then leftmost, free place in a corner left by what is on the sheet."""
    if any(marks.get(n, frozenset()) & marks.get(m, frozenset()) for m, _, _ in sheet):
        return None
    w, h = sizes[n]
    taken = [(x, y, *sizes[m]) for m, x, y in sheet]
    xs = sorted({0.0, *(x + wide + gap for x, _, wide, _ in taken)})
    ys = sorted({0.0, *(y + high + gap for _, y, _, high in taken)})
    near = gap - 1e-9
    for y in ys:
        if y + h > room[1] + 1e-9:
            break
        beside = [
            (x, wide) for x, v, wide, high in taken if v - y - h < near and y - v - high < near
        ]
        for x in xs:
            if x + w > room[0] + 1e-9:
                break
            if not any(u - x - w < near and x - u - wide < near for u, wide in beside):
                return n, x, y
    return None


def spread(
    sizes: Sequence[Size], sheet: Sequence[Spot], room: Size, gap: float, most: float
) -> list[Spot]:
    """The same arrangement with its gaps widened alike, first across, then down, to `most`."""
    across = _axis(
        [(x, sizes[n][0]) for n, x, _ in sheet],
        [(y, sizes[n][1]) for n, _, y in sheet],
        room[0],
        gap,
        most,
    )
    down = _axis(
        [(y, sizes[n][1]) for n, _, y in sheet],
        [(x, sizes[n][0]) for x, (n, _, _) in zip(across, sheet, strict=True)],
        room[1],
        gap,
        most,
    )
    return [(n, x, y) for (n, _, _), x, y in zip(sheet, across, down, strict=True)]


def _axis(
    mine: Sequence[tuple[float, float]],
    others: Sequence[tuple[float, float]],
    room: float,
    gap: float,
    most: float,
) -> list[float]:
    """Starts along one axis; `mine` and `others` are (start, length) on it and across it."""
    order = sorted(range(len(mine)), key=lambda n: mine[n][0])

    def starts(wide: float) -> list[float]:
        found = [0.0] * len(mine)
        for place, n in enumerate(order):
            for m in order[:place]:
                beside = (
                    others[n][0] < others[m][0] + others[m][1] + gap - 1e-9
                    and others[m][0] < others[n][0] + others[n][1] + gap - 1e-9
                )
                if beside:
                    found[n] = max(found[n], found[m] + mine[m][1] + wide)
        return found

    low, high = gap, max(gap, most)
    for _ in range(20):  # halves: finer than 0.001 mm from any sheet's width
        middle = (low + high) / 2
        ends = [s + length for s, (_, length) in zip(starts(middle), mine, strict=True)]
        low, high = (middle, high) if max(ends) <= room else (low, middle)
    return starts(low)

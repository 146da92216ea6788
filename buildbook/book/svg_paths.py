"""Paths of SVG as operators of PDF (SVG 1.1, chapter 8; arcs by its appendix F.6)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

TOKEN = re.compile(r"([MLHVCQAZ])|(-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?)", re.IGNORECASE)
COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "A": 7, "Z": 0}
Point = tuple[float, float]


def path_operators(d: str) -> str:
    """The operators of a path; ValueError for a command that our drawings do not use."""
    here: Point = (0.0, 0.0)
    start = here
    written: list[str] = []
    for command, values in _commands(d):
        letter = command.upper()
        origin = here if command.islower() else (0.0, 0.0)
        if letter == "Z":
            written.append("h")
            here = start
            continue
        if letter == "A":
            rx, ry, turn, large, sweep, x, y = values
            end = (origin[0] + x, origin[1] + y)
            written += _arc(here, end, (rx, ry), math.radians(turn), bool(large), bool(sweep))
            here = end
            continue
        points = _points(letter, values, origin, here)
        if letter == "Q":
            points = _raised(here, points)
        operator = {"M": "m", "C": "c", "Q": "c"}.get(letter, "l")
        written.append(f"{' '.join(pair(point) for point in points)} {operator}")
        here = points[-1]
        start = here if letter == "M" else start
    return " ".join(written)


def _commands(d: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers; those that are repeated without their letter too."""
    if TOKEN.sub("", d).strip(" ,\n\t"):
        raise ValueError(f"a path that is not understood: {d}")
    command, values = "", list[float]()
    for letter, number in TOKEN.findall(d):
        if letter:
            command, values = letter, []
        else:
            values.append(float(number))
        if len(values) == COUNTS[command.upper()]:
            yield command, values
            values = []
            command = {"M": "L", "m": "l"}.get(command, command)


def _points(letter: str, values: list[float], origin: Point, here: Point) -> list[Point]:
    if letter == "H":
        return [(origin[0] + values[0], here[1])]
    if letter == "V":
        return [(here[0], origin[1] + values[0])]
    pairs = zip(values[::2], values[1::2], strict=True)
    return [(origin[0] + x, origin[1] + y) for x, y in pairs]


def _raised(here: Point, points: list[Point]) -> list[Point]:
    """A quadratic curve as the cubic one that is the same."""
    middle, end = points
    handles = [
        tuple(at + 2 / 3 * (to - at) for at, to in zip(one, middle, strict=True))
        for one in (here, end)
    ]
    return [(x, y) for x, y in handles] + [end]


def _arc(
    here: Point, end: Point, radii: Point, turn: float, large: bool, sweep: bool
) -> Iterator[str]:
    """An elliptical arc as cubic curves of at most a quarter turn each."""
    rx, ry = abs(radii[0]), abs(radii[1])
    if here == end:
        return
    if not rx or not ry:
        yield f"{pair(end)} l"
        return
    cos, sin = math.cos(turn), math.sin(turn)
    dx, dy = (here[0] - end[0]) / 2, (here[1] - end[1]) / 2
    x, y = cos * dx + sin * dy, -sin * dx + cos * dy
    grown = math.sqrt(max(1.0, (x / rx) ** 2 + (y / ry) ** 2))
    rx, ry = rx * grown, ry * grown
    left = max(0.0, (rx * ry) ** 2 / ((rx * y) ** 2 + (ry * x) ** 2) - 1)
    side = math.sqrt(left) * (1 if large != sweep else -1)
    cx, cy = side * rx * y / ry, -side * ry * x / rx
    begin = math.atan2((y - cy) / ry, (x - cx) / rx)
    span = math.atan2((-y - cy) / ry, (-x - cx) / rx) - begin
    if sweep and span < 0:
        span += 2 * math.pi
    elif not sweep and span > 0:
        span -= 2 * math.pi
    middle = ((here[0] + end[0]) / 2, (here[1] + end[1]) / 2)

    def placed(u: float, v: float) -> Point:
        u, v = cx + rx * u, cy + ry * v
        return middle[0] + cos * u - sin * v, middle[1] + sin * u + cos * v

    pieces = max(1, math.ceil(abs(span) / (math.pi / 2) - 1e-9))
    step = span / pieces
    handle = 4 / 3 * math.tan(step / 4)
    for piece in range(pieces):
        a, b = begin + piece * step, begin + (piece + 1) * step
        points = (
            placed(math.cos(a) - handle * math.sin(a), math.sin(a) + handle * math.cos(a)),
            placed(math.cos(b) + handle * math.sin(b), math.sin(b) - handle * math.cos(b)),
            end if piece == pieces - 1 else placed(math.cos(b), math.sin(b)),
        )
        yield f"{' '.join(pair(point) for point in points)} c"


def number(value: float) -> str:
    """Ten thousandths: of a millimetre, nobody sees less."""
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"


def pair(point: Point) -> str:
    return " ".join(number(value) for value in point)

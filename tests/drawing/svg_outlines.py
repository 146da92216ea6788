"""Outlines in an SVG as straight pieces, and what a transform makes of them."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

CHORDS = 12
"""Straight pieces that a curve is read as."""

Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Unread(ValueError):
    """The SVG holds something that this reader would have to guess at."""


def applied(m: Matrix, p: Point) -> Point:
    return m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5]


def times(m: Matrix, n: Matrix) -> Matrix:
    return (
        m[0] * n[0] + m[2] * n[1],
        m[1] * n[0] + m[3] * n[1],
        m[0] * n[2] + m[2] * n[3],
        m[1] * n[2] + m[3] * n[3],
        m[0] * n[4] + m[2] * n[5] + m[4],
        m[1] * n[4] + m[3] * n[5] + m[5],
    )


def scale_of(m: Matrix) -> float:
    """How much longer a length becomes: square root of the determinant."""
    return math.sqrt(abs(m[0] * m[3] - m[1] * m[2]))


def numbers(text: str) -> list[float]:
    return [float(v) for v in re.findall(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?", text)]


def matrix_of(text: str) -> Matrix:
    """The product of a transform attribute's parts."""
    whole = IDENTITY
    for name, inside in re.findall(r"(\w+)\s*\(([^)]*)\)", text):
        v = numbers(inside)
        if name == "translate":
            part = (1.0, 0.0, 0.0, 1.0, v[0], v[1] if len(v) > 1 else 0.0)
        elif name == "scale":
            part = (v[0], 0.0, 0.0, v[1] if len(v) > 1 else v[0], 0.0, 0.0)
        elif name == "rotate":
            c, s = math.cos(math.radians(v[0])), math.sin(math.radians(v[0]))
            x, y = (v[1], v[2]) if len(v) == 3 else (0.0, 0.0)
            part = (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
        elif name == "matrix":
            part = tuple(v)
        else:
            raise Unread(f"transform {name}")
        whole = times(whole, part)
    return whole


def _bezier(points: list[Point]) -> list[Point]:
    """A Bezier curve of any degree as chords, its first point left out (de Casteljau)."""
    found = []
    for n in range(1, CHORDS + 1):
        t, row = n / CHORDS, points
        while len(row) > 1:
            row = [
                (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                for a, b in zip(row, row[1:], strict=False)
            ]
        found.append(row[0])
    return found


def _arc(start: Point, v: list[float], end: Point) -> list[Point]:
    """An elliptical arc as chords (SVG 1.1, appendix F.6.5)."""
    rx, ry, turn = abs(v[0]), abs(v[1]), math.radians(v[2])
    if rx == 0 or ry == 0 or start == end:
        return [end]
    c, s = math.cos(turn), math.sin(turn)
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = c * dx + s * dy, c * dy - s * dx
    wide = max(1.0, (x / rx) ** 2 + (y / ry) ** 2)
    rx, ry = rx * math.sqrt(wide), ry * math.sqrt(wide)
    under = (rx * y) ** 2 + (ry * x) ** 2
    k = math.sqrt(max(0.0, (rx * ry) ** 2 / under - 1)) * (-1 if bool(v[3]) == bool(v[4]) else 1)
    mx, my = k * rx * y / ry, -k * ry * x / rx
    cx = c * mx - s * my + (start[0] + end[0]) / 2
    cy = s * mx + c * my + (start[1] + end[1]) / 2
    first = math.atan2((y - my) / ry, (x - mx) / rx)
    sweep = math.atan2((-y - my) / ry, (-x - mx) / rx) - first
    sweep += 2 * math.pi if v[4] and sweep < 0 else -2 * math.pi if not v[4] and sweep > 0 else 0
    angles = (first + sweep * n / CHORDS for n in range(1, CHORDS + 1))
    return [
        (
            cx + rx * math.cos(a) * c - ry * math.sin(a) * s,
            cy + rx * math.cos(a) * s + ry * math.sin(a) * c,
        )
        for a in angles
    ]


STEP = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7}
"""Numbers that a path command takes at a time."""


def path_lines(d: str) -> list[list[Point]]:
    """Path data as one list of points a subpath."""
    found: list[list[Point]] = []
    here: Point = (0.0, 0.0)
    held: Point | None = None
    for letter, inside in re.findall(r"([A-Za-z])([^A-Za-z]*)", re.sub(r"[eE](?=[-+]?\d)", "@", d)):
        v, command = numbers(inside.replace("@", "e")), letter.upper()
        if command == "Z":
            found[-1].append(found[-1][0])
            here, held = found[-1][0], None
            continue
        step = STEP.get(command)
        if not step or not v or len(v) % step:
            raise Unread(f"path {letter} with {len(v)} numbers")
        for n in range(0, len(v), step):
            part = v[n : n + step]
            ox, oy = here if letter.islower() else (0.0, 0.0)
            if command == "M":
                here = (part[0] + ox, part[1] + oy)
                found.append([here])
                command = "L"
                continue
            new, held = _drawn(command, here, held, part, ox, oy)
            found[-1] += new
            here = new[-1]
    return found


def _drawn(
    command: str, here: Point, held: Point | None, v: list[float], ox: float, oy: float
) -> tuple[list[Point], Point | None]:
    """Points of one path step, and its last control point for a smooth one that follows."""
    if command == "H":
        return [(v[0] + ox, here[1])], None
    if command == "V":
        return [(here[0], v[0] + oy)], None
    if command == "A":
        return _arc(here, v, (v[5] + ox, v[6] + oy)), None
    points = [(v[n] + ox, v[n + 1] + oy) for n in range(0, len(v), 2)]
    if command == "L":
        return points, None
    if command in "ST":
        again = held or here
        points.insert(0, (2 * here[0] - again[0], 2 * here[1] - again[1]))
    return _bezier([here, *points]), points[-2]


def _round_box(x: float, y: float, w: float, h: float, rx: float, ry: float) -> list[Point]:
    """A rectangle's outline, closed, with elliptical corners."""
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    if not rx or not ry:
        return [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]
    corners = [
        (x + w - rx, y + ry, -90),
        (x + w - rx, y + h - ry, 0),
        (x + rx, y + h - ry, 90),
        (x + rx, y + ry, 180),
    ]
    found = [
        (
            cx + rx * math.cos(math.radians(start + turn)),
            cy + ry * math.sin(math.radians(start + turn)),
        )
        for cx, cy, start in corners
        for turn in range(0, 91, 15)
    ]
    return [*found, found[0]]


def _ellipse(x: float, y: float, rx: float, ry: float) -> list[Point]:
    turns = (2 * math.pi * n / 36 for n in range(36))
    found = [(x + rx * math.cos(a), y + ry * math.sin(a)) for a in turns]
    return [*found, found[0]]


def outlines(tag: str, element: ET.Element) -> list[list[Point]]:
    def number(name: str, other: float = 0.0) -> float:
        return float(element.get(name, other))

    if tag == "line":
        return [[(number("x1"), number("y1")), (number("x2"), number("y2"))]]
    if tag in ("polyline", "polygon"):
        v = numbers(element.get("points", ""))
        points = list(zip(v[::2], v[1::2], strict=True))
        return [points + points[:1] if tag == "polygon" else points]
    if tag == "rect":
        rx = number("rx", number("ry"))
        return [
            _round_box(
                number("x"), number("y"), number("width"), number("height"), rx, number("ry", rx)
            )
        ]
    if tag == "circle":
        return [_ellipse(number("cx"), number("cy"), number("r"), number("r"))]
    if tag == "ellipse":
        return [_ellipse(number("cx"), number("cy"), number("rx"), number("ry"))]
    if tag == "path":
        return path_lines(element.get("d", ""))
    raise Unread(f"element {tag}")

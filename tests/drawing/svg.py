"""Reads an SVG into plain geometry on paper: lettering, strokes and filled areas, in mm."""

from __future__ import annotations

import importlib.util
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont

SVG = "{http://www.w3.org/2000/svg}"
CAPITAL_EM = 0.711
"""Height of Roboto's capitals (OS/2 table of the font, sCapHeight 1456 of 2048)."""
CHORDS = 12
"""Straight pieces that a curve is read as."""
SILENT = {"defs", "title", "desc", "style", "metadata"}

Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Unread(ValueError):
    """The SVG holds something that this reader would have to guess at."""


@dataclass(frozen=True)
class Place:
    """Where an element stands in the file."""

    order: int
    """Painting order: higher is painted later."""
    classes: frozenset[str]
    """Its own classes and those of the groups around it."""
    group: tuple[int, ...]
    """Numbers of the groups around it, outermost first."""
    ids: tuple[str, ...]
    """Ids of itself and of the groups around it, outermost first."""
    tag: str
    data: tuple[tuple[str, str], ...] = ()
    """Names and values of the data-… attributes of itself and of the groups around it."""

    def said(self, name: str) -> str:
        """What a data-… attribute says, '' where there is none."""
        return dict(self.data).get(name, "")


@dataclass(frozen=True)
class Text:
    """A line of lettering: the box of its ink, which may be turned."""

    text: str
    size: float
    """Font size on paper, mm."""
    quad: tuple[Point, ...]
    colour: str
    at: Place
    unknown: str
    """Letters that the font does not have."""
    bold: bool = False


@dataclass(frozen=True)
class Stroke:
    """A line as its straight pieces."""

    points: tuple[Point, ...]
    width: float
    colour: str
    at: Place


@dataclass(frozen=True)
class Area:
    """A filled outline."""

    points: tuple[Point, ...]
    colour: str
    at: Place


@dataclass(frozen=True)
class Scene:
    """Everything that a drawing puts on paper."""

    width: float
    height: float
    texts: tuple[Text, ...]
    strokes: tuple[Stroke, ...]
    areas: tuple[Area, ...]


def _font_file(bold: bool) -> Path:
    spec = importlib.util.find_spec("font_roboto")
    assert spec and spec.origin
    return Path(spec.origin).parent / "files" / f"Roboto-{'Bold' if bold else 'Regular'}.ttf"


@lru_cache(maxsize=2)
def _font(bold: bool) -> tuple[dict[int, tuple[float, float, float, float, float]], float]:
    """Code point -> advance and ink box in em (left, low, right, high), and a missing glyph's."""
    font = TTFont(_font_file(bold))
    em, metrics, outlines = font["head"].unitsPerEm, font["hmtx"].metrics, font["glyf"]
    found = {}
    for code, name in font.getBestCmap().items():
        glyph = outlines[name]
        ink = [getattr(glyph, side, 0) for side in ("xMin", "yMin", "xMax", "yMax")]
        found[code] = tuple(v / em for v in (metrics[name][0], *ink))
    return found, metrics[".notdef"][0] / em


def ink(text: str, bold: bool) -> tuple[float, float, float, float, float]:
    """Advance of a line in em, and its ink about the baseline's start: left, low, right, high."""
    glyphs, missing = _font(bold)
    x, left, low, right, high = 0.0, math.inf, 0.0, 0.0, 0.0
    for letter in text:
        advance, x0, y0, x1, y1 = glyphs.get(ord(letter), (missing, 0, 0, missing, CAPITAL_EM))
        if x1 > x0:
            left, right = min(left, x + x0), max(right, x + x1)
            low, high = min(low, y0), max(high, y1)
        x += advance
    return x, min(left, x), low, right, high


def applied(m: Matrix, p: Point) -> Point:
    return m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5]


def _times(m: Matrix, n: Matrix) -> Matrix:
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


def _numbers(text: str) -> list[float]:
    return [float(v) for v in re.findall(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?", text)]


def matrix_of(text: str) -> Matrix:
    """The product of a transform attribute's parts."""
    whole = IDENTITY
    for name, inside in re.findall(r"(\w+)\s*\(([^)]*)\)", text):
        v = _numbers(inside)
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
        whole = _times(whole, part)
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
        v, command = _numbers(inside.replace("@", "e")), letter.upper()
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


def _outlines(tag: str, element: ET.Element) -> list[list[Point]]:
    def number(name: str, other: float = 0.0) -> float:
        return float(element.get(name, other))

    if tag == "line":
        return [[(number("x1"), number("y1")), (number("x2"), number("y2"))]]
    if tag in ("polyline", "polygon"):
        v = _numbers(element.get("points", ""))
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


INHERITED = (
    "fill",
    "stroke",
    "stroke-width",
    "font-size",
    "font-weight",
    "font-family",
    "text-anchor",
)


@dataclass(frozen=True)
class _Around:
    """What an element takes over from what it stands in."""

    matrix: Matrix
    style: dict[str, str]
    classes: frozenset[str]
    group: tuple[int, ...]
    ids: tuple[str, ...]
    data: tuple[tuple[str, str], ...] = ()


def _inside(element: ET.Element, around: _Around, number: int) -> _Around:
    if element.get("style") or element.get("clip-path") or element.get("mask"):
        raise Unread("style, clip-path or mask")
    if any(float(element.get(f"{what}opacity", 1)) != 1 for what in ("", "fill-", "stroke-")):
        raise Unread("opacity")
    id_ = element.get("id")
    return _Around(
        _times(around.matrix, matrix_of(element.get("transform", ""))),
        around.style | {k: v for k in INHERITED if (v := element.get(k)) is not None},
        around.classes | frozenset(element.get("class", "").split()),
        (*around.group, number),
        (*around.ids, id_) if id_ else around.ids,
        (*around.data, *((k, v) for k, v in element.attrib.items() if k.startswith("data-"))),
    )


def _text(element: ET.Element, own: _Around, at: Place) -> Text:
    if len(element) or element.get("dx") or element.get("dy") or element.get("dominant-baseline"):
        raise Unread("text in parts")
    words, style = "".join(element.itertext()), own.style
    if style.get("font-family") != "Roboto":
        raise Unread(f"font {style.get('font-family')}")
    bold = style.get("font-weight") == "bold"
    size = float(style["font-size"])
    x, y = float(element.get("x", 0)), float(element.get("y", 0))
    wide, left, low, right, high = (size * v for v in ink(words, bold))
    x -= {"start": 0.0, "middle": wide / 2, "end": wide}[style.get("text-anchor", "start")]
    x0, x1, top, foot = x + left, x + right, y - high, y - low
    corners = ((x0, top), (x1, top), (x1, foot), (x0, foot))
    return Text(
        words,
        size * scale_of(own.matrix),
        tuple(applied(own.matrix, p) for p in corners),
        style.get("fill", "#000000"),
        at,
        "".join(c for c in words if ord(c) not in _font(bold)[0]),
        bold,
    )


def _walk(
    element: ET.Element, around: _Around, count: Iterator[int]
) -> Iterator[Text | Stroke | Area]:
    tag = element.tag.removeprefix(SVG)
    if tag in SILENT:
        return
    number = next(count)
    own = _inside(element, around, number)
    at = Place(number, own.classes, around.group, own.ids, tag, own.data)
    if tag in ("svg", "g", "a"):
        for child in element:
            yield from _walk(child, own, count)
    elif tag == "text":
        if "".join(element.itertext()).strip():
            yield _text(element, own, at)
    else:
        fill, stroke = own.style.get("fill", "#000000"), own.style.get("stroke", "none")
        width = float(own.style.get("stroke-width", 1)) * scale_of(own.matrix)
        for outline in _outlines(tag, element):
            points = tuple(applied(own.matrix, p) for p in outline)
            if fill != "none" and tag != "line":
                yield Area(points, fill, at)
            if stroke != "none" and width:
                yield Stroke(points, width, stroke, at)


def scene(svg: str) -> Scene:
    """Everything on paper, in painting order; raises Unread rather than leave something out."""
    root = ET.fromstring(svg)
    box = _numbers(root.get("viewBox", ""))
    sides = [re.fullmatch(r"([\d.]+)mm", root.get(side, "")) for side in ("width", "height")]
    if len(box) != 4 or not all(sides):
        raise Unread("no viewBox, or no size in mm")
    width, height = (float(side[1]) for side in sides if side)
    sx, sy = width / box[2], height / box[3]
    around = _Around((sx, 0.0, 0.0, sy, -box[0] * sx, -box[1] * sy), {}, frozenset(), (), ())
    found = list(_walk(root, around, iter(range(10**9))))
    return Scene(
        width,
        height,
        tuple(f for f in found if isinstance(f, Text)),
        tuple(f for f in found if isinstance(f, Stroke)),
        tuple(f for f in found if isinstance(f, Area)),
    )

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

from tests.drawing.svg_outlines import (
    Matrix,
    Point,
    Unread,
    applied,
    matrix_of,
    numbers,
    outlines,
    scale_of,
    times,
)

SVG = "{http://www.w3.org/2000/svg}"
CAPITAL_EM = 0.711
"""Height of Roboto's capitals (OS/2 table of the font, sCapHeight 1456 of 2048)."""
SILENT = {"defs", "title", "desc", "style", "metadata"}


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
        times(around.matrix, matrix_of(element.get("transform", ""))),
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
        for outline in outlines(tag, element):
            points = tuple(applied(own.matrix, p) for p in outline)
            if fill != "none" and tag != "line":
                yield Area(points, fill, at)
            if stroke != "none" and width:
                yield Stroke(points, width, stroke, at)


def scene(svg: str) -> Scene:
    """Everything on paper, in painting order; raises Unread rather than leave something out."""
    root = ET.fromstring(svg)
    box = numbers(root.get("viewBox", ""))
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

"""A drawing as the content of a PDF page: what our SVG consists of, and nothing else of SVG.

WeasyPrint lays a line of lettering out letter by letter and takes 3 ms for each; here it costs
the look-up of its glyphs. Letters stand as far apart as the drawings count with: not kerned.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from buildbook.book.page_references import END, MIDDLE, START
from buildbook.book.svg_paths import number, pair, path_operators
from buildbook.book.typeface import PER_EM, face

SVG = "{http://www.w3.org/2000/svg}"
PT = 72 / 25.4
"""Points in a millimetre."""
ROUND = 4 / 3 * (2**0.5 - 1)
"""Handle of the cubic curve nearest to a quarter of a circle, in radii."""
NAMING = re.compile(r"class|id|data-\w+")
COLOUR = re.compile(r"none|#[0-9a-fA-F]{6}")
LINE = {"fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray"}
KNOWN: dict[str, set[str]] = {
    "g": set(),
    "polyline": {"points", *LINE},
    "rect": {"x", "y", "width", "height", "rx", "ry", *LINE},
    "circle": {"cx", "cy", "r", *LINE},
    "path": {"d", *LINE},
    "text": {
        "x",
        "y",
        "font-size",
        "font-family",
        "font-weight",
        "text-anchor",
        "fill",
        "transform",
    },
}
"""Elements of our SVG with their attributes."""
BEFORE = {"start": START, "middle": MIDDLE, "end": END}
"""How much of a line's width lies before its place."""
TURN = re.compile(r"rotate\(-90 ([-.\d]+) ([-.\d]+)\)")
CAPS = {"butt": 0, "round": 1, "square": 2}
JOINS = {"miter": 0, "round": 1, "bevel": 2}


@dataclass
class Form:
    """What is drawn on a sheet of so many points, and the glyphs that it uses."""

    width_pt: float
    height_pt: float
    operators: list[str] = field(default_factory=list)
    glyphs: dict[str, dict[int, str]] = field(default_factory=dict)
    """Name of a face -> glyph -> text."""

    @property
    def content(self) -> bytes:
        return "\n".join(self.operators).encode("ascii")


def form_of(svg: str) -> Form | None:
    """The drawing's content; None where it holds anything that only an SVG engine can draw."""
    root = ElementTree.fromstring(svg)
    if any(not _is_ours(element) for element in _drawn(root)):
        return None
    _x, _y, width, height = (float(value) for value in root.attrib["viewBox"].split())
    form = Form(width * PT, height * PT)
    form.operators.append(f"{PT:.6f} 0 0 {-PT:.6f} 0 {form.height_pt:.6f} cm")
    pen = _Pen(form)
    for element in _drawn(root):
        pen.draw(element)
    return form


def _drawn(root: Element) -> Iterator[Element]:
    """Everything below the root, but for its empty definitions."""
    for element in root.iter():
        empty = element.tag == f"{SVG}defs" and not len(element)
        if element is not root and not empty:
            yield element


def _is_ours(element: Element) -> bool:
    """True for an element that is drawn here, with attributes that are understood."""
    tag = element.tag.removeprefix(SVG)
    if tag not in KNOWN or (tag != "g" and len(element)):
        return False
    attributes = {name for name in element.attrib if not NAMING.fullmatch(name)}
    if attributes - KNOWN[tag]:
        return False
    if any(not COLOUR.fullmatch(element.get(name, "none")) for name in ("fill", "stroke")):
        return False
    if tag != "text":
        return True
    turned = element.get("transform")
    return (
        face(_face(element)).has(element.text or "")
        and element.get("font-family") == "Roboto"
        and (turned is None or TURN.fullmatch(turned) is not None)
    )


class _Pen:
    """Writes elements one after the other, and of a line's style only what changes."""

    def __init__(self, form: Form) -> None:
        self._form = form
        self._put = form.operators.append
        self._state: dict[str, str] = {}

    def draw(self, element: Element) -> None:
        tag, given = element.tag.removeprefix(SVG), element.attrib
        if tag == "text":
            self._text(element)
            return
        if tag == "g":
            return
        self._put(SHAPES[tag](given))
        self._paint(given)

    def _paint(self, given: Mapping[str, str]) -> None:
        """Fill and stroke the path that was begun, whose style has to stand before it."""
        path = self._form.operators.pop()
        fill, stroke = given.get("fill", "#000000"), given.get("stroke", "none")
        filled, stroked = fill != "none", stroke != "none"
        if filled:
            self._set("fill", f"{_colour(fill)} rg")
        if stroked:
            self._set("stroke", f"{_colour(stroke)} RG")
            self._set("width", f"{number(float(given.get('stroke-width', '1')))} w")
            self._set("cap", f"{CAPS[given.get('stroke-linecap', 'butt')]} J")
            self._set("join", f"{JOINS[given.get('stroke-linejoin', 'miter')]} j")
            dashes = " ".join(re.split(r"[ ,]+", given.get("stroke-dasharray", "").strip()))
            self._set("dash", f"[{dashes}] 0 d")
        if filled or stroked:
            self._put(path)
            self._put("B" if filled and stroked else "f" if filled else "S")

    def _set(self, what: str, operator: str) -> None:
        if self._state.get(what) != operator:
            self._state[what] = operator
            self._put(operator)

    def _text(self, element: Element) -> None:
        text = element.text or ""
        if not text:
            return
        given, type_ = element.attrib, face(_face(element))
        size, x, y = (float(given[name]) for name in ("font-size", "x", "y"))
        before = type_.width_of(text) * size / PER_EM * BEFORE[given.get("text-anchor", "start")]
        matrix = f"1 0 0 -1 {number(x - before)} {number(y)}"
        if found := TURN.fullmatch(given.get("transform", "")):
            matrix = _turned(float(found[1]), float(found[2]), x - before, y)
        used = self._form.glyphs.setdefault(type_.name, {})
        used.update((type_.glyphs[ord(letter)], letter) for letter in text)
        self._set("fill", f"{_colour(given.get('fill', '#000000'))} rg")
        self._put(f"BT /{type_.name} {number(size)} Tf {matrix} Tm [<{type_.hex_of(text)}>] TJ ET")


def _turned(about_x: float, about_y: float, x: float, y: float) -> str:
    """The matrix of a line that reads upwards: turned a quarter about a point."""
    return f"0 -1 -1 0 {number(about_x + (y - about_y))} {number(about_y - (x - about_x))}"


def _face(element: Element) -> str:
    return "Bold" if element.get("font-weight") == "bold" else "Regular"


def _colour(written: str) -> str:
    """'#ff0000' as '1 0 0'."""
    return " ".join(number(int(written[at : at + 2], 16) / 255) for at in (1, 3, 5))


def _polyline(given: Mapping[str, str]) -> str:
    points = [point.split(",") for point in given["points"].split()]
    return " ".join(f"{x} {y} {'l' if n else 'm'}" for n, (x, y) in enumerate(points))


def _rect(given: Mapping[str, str]) -> str:
    x, y, w, h = (float(given[name]) for name in ("x", "y", "width", "height"))
    r = min(float(given.get("rx", "0")), w / 2, h / 2)
    if not r:
        return f"{number(x)} {number(y)} {number(w)} {number(h)} re"
    k, right, foot = r * (1 - ROUND), x + w, y + h
    corners = (
        ((right - r, y), (right - k, y), (right, y + k), (right, y + r)),
        ((right, foot - r), (right, foot - k), (right - k, foot), (right - r, foot)),
        ((x + r, foot), (x + k, foot), (x, foot - k), (x, foot - r)),
        ((x, y + r), (x, y + k), (x + k, y), (x + r, y)),
    )
    return f"{pair((x + r, y))} m " + " ".join(_corner(corner) for corner in corners) + " h"


def _corner(corner: tuple[tuple[float, float], ...]) -> str:
    """A straight line to where a corner begins, and the curve round it."""
    return f"{pair(corner[0])} l {' '.join(pair(point) for point in corner[1:])} c"


def _circle(given: Mapping[str, str]) -> str:
    x, y, r = (float(given[name]) for name in ("cx", "cy", "r"))
    k = r * ROUND
    quarters = (
        ((x + r, y + k), (x + k, y + r), (x, y + r)),
        ((x - k, y + r), (x - r, y + k), (x - r, y)),
        ((x - r, y - k), (x - k, y - r), (x, y - r)),
        ((x + k, y - r), (x + r, y - k), (x + r, y)),
    )
    curves = " ".join(f"{' '.join(pair(point) for point in quarter)} c" for quarter in quarters)
    return f"{pair((x + r, y))} m {curves} h"


SHAPES: dict[str, Callable[[Mapping[str, str]], str]] = {
    "polyline": _polyline,
    "rect": _rect,
    "circle": _circle,
    "path": lambda given: path_operators(given["d"]),
}

"""Drawings made small: what elements look like said once for all sheets, places to 0.01 mm."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from markupsafe import Markup, escape

from buildbook.drawing.shared.model import Drawing

LOOK = {
    "fill",
    "stroke",
    "stroke-width",
    "stroke-linecap",
    "stroke-linejoin",
    "stroke-dasharray",
    "font-size",
    "font-weight",
    "text-anchor",
}
"""Attributes that say how an element looks, and can as well be said in a style sheet."""
PLACED = {"points", "x", "y", "width", "height", "rx", "ry", "cx", "cy", "r", "d", "transform"}
NAMED = re.compile(r"data-\w+")
KEPT = {"wire", "goes-on", "crossing", "halo"}
"""Classes that the script asks for."""
NUMBER = re.compile(r"-?\d*\.\d+(?:e-?\d+)?")
SIZES = {"font-size", "stroke-width"}


class LeanSheets:
    """Drawings as SVG for within HTML, and the style sheet that they share."""

    def __init__(self) -> None:
        self._class_of: dict[str, str] = {}
        self._letters: dict[str, set[str]] = {"Regular": set(), "Bold": set()}

    def svg(self, drawing: Drawing) -> Markup:
        """The drawing, with a class in the place of what says how it looks."""
        root = ElementTree.fromstring(drawing.svg)
        inner = Markup("").join(self._element(child) for child in root)
        return Markup('<svg viewBox="{}" role="img" aria-label="{}">{}</svg>').format(
            root.attrib["viewBox"], drawing.title, inner
        )

    @property
    def styles(self) -> Markup:
        """The rules of all classes; they are our own words and numbers alone."""
        return Markup("\n".join(f".{name}{{{look}}}" for look, name in self._class_of.items()))

    @property
    def letters(self) -> list[tuple[str, list[str]]]:
        """Faces of the typeface with the letters that the drawings use of each."""
        return [(name, sorted(used)) for name, used in self._letters.items()]

    def _element(self, element: Element) -> Markup:
        tag = element.tag.rpartition("}")[2]
        if tag == "defs":
            return Markup("")
        inner = Markup("").join(self._element(child) for child in element)
        text = escape(element.text or "") if tag == "text" else Markup("")
        if text:
            bold = element.get("font-weight") == "bold"
            self._letters["Bold" if bold else "Regular"].update(element.text or "")
        return Markup("<{0}{1}>{2}{3}</{0}>").format(tag, self._given(element), text, inner)

    def _given(self, element: Element) -> Markup:
        classes = [name for name in element.get("class", "").split() if name in KEPT]
        if look := looks(element.attrib):
            classes.append(self._class_of.setdefault(look, f"s{len(self._class_of)}"))
        kept = {
            name: rounded(value) if name in PLACED else value
            for name, value in element.attrib.items()
            if name in PLACED or NAMED.fullmatch(name)
        }
        if classes:
            kept["class"] = " ".join(classes)
        return Markup("").join(Markup(' {}="{}"').format(*pair) for pair in kept.items())


def looks(given: Mapping[str, str]) -> str:
    """What a style sheet says of an element: 'fill:none;stroke:#000000'."""
    said = {name: value for name, value in given.items() if name in LOOK}
    return ";".join(
        f"{name}:{value}{'px' if name in SIZES else ''}" for name, value in sorted(said.items())
    )


def rounded(text: str) -> str:
    """Numbers of a place to a hundredth of a millimetre, without zeros at their ends."""
    return NUMBER.sub(lambda found: f"{float(found[0]):.2f}".rstrip("0").rstrip("."), text)

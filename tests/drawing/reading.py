"""Finds parts of a drawing again in its SVG text: lettering, shapes by class, faults."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import dataclass

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.model import Drawing
from tests.drawing.legible import bounds, faults
from tests.drawing.svg import SVG, scene

__all__ = ["Lettering", "faults", "letterings", "points", "shapes"]


@dataclass(frozen=True)
class Lettering:
    """A line of text as it stands on paper, with the upright box around its ink."""

    text: str
    size: float
    box: Box


def letterings(drawing: Drawing) -> list[Lettering]:
    """Every line of text in painting order."""
    found = []
    for text in scene(drawing.svg).texts:
        ink = bounds(text.quad)
        box = Box(ink.left, ink.top, ink.right - ink.left, ink.bottom - ink.top)
        found.append(Lettering(text.text, text.size, box))
    return found


def shapes(drawing: Drawing, tag: str, class_: str) -> list[ET.Element]:
    """Elements of one tag and class."""
    found = ET.fromstring(drawing.svg).iter(SVG + tag)
    return [e for e in found if e.get("class") == class_]


def points(line: ET.Element) -> list[tuple[float, float]]:
    """Corners of a polyline."""
    return [tuple(map(float, p.split(","))) for p in line.get("points", "").split()]  # type: ignore

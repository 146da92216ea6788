"""Reads a drawing's geometry back out of its SVG text."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

from buildbook.drawing.model import Drawing
from buildbook.drawing.sheet import Box, text_width_mm

CAPITAL_EM = 0.711
"""Height of Roboto's capitals (OS/2 table of the font, sCapHeight 1456 of 2048)."""
SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Lettering:
    """A line of text as it stands on paper."""

    text: str
    size: float
    box: Box


def letterings(drawing: Drawing) -> list[Lettering]:
    """Every text element with its box from baseline to capital height."""
    found = []
    for element in ET.fromstring(drawing.svg).iter(f"{SVG}text"):
        text = "".join(element.itertext())
        size = float(element.get("font-size", "0"))
        x, y = float(element.get("x", "0")), float(element.get("y", "0"))
        bold = element.get("font-weight") == "bold"
        wide, high = text_width_mm(text, size, bold), CAPITAL_EM * size
        start = {"middle": wide / 2, "end": wide}.get(element.get("text-anchor", ""), 0.0)
        turn = element.get("transform", "")
        if not turn:
            box = Box(x - start, y - high, wide, high)
        else:
            assert re.fullmatch(rf"rotate\(-90 {x:.3f} {y:.3f}\)", turn), turn
            box = Box(x - high, y - (wide - start), high, wide)
        found.append(Lettering(text, size, box))
    return found


def faults(drawing: Drawing) -> list[str]:
    """Letterings that overlap, leave the drawing, or are smaller than 1.8 mm (ISO 3098)."""
    texts = letterings(drawing)
    sheet = Box(0, 0, drawing.width_mm, drawing.height_mm)
    small = [f"small: {t.text}" for t in texts if t.size * CAPITAL_EM < 1.8]
    outside = [f"outside: {t.text}" for t in texts if not sheet.holds(t.box)]
    over = [f"{a.text} over {b.text}" for a, b in combinations(texts, 2) if a.box.overlaps(b.box)]
    return [f"{drawing.name}: {what}" for what in small + outside + over]


def shapes(drawing: Drawing, tag: str, class_: str) -> list[ET.Element]:
    """Elements of one tag and class."""
    found = ET.fromstring(drawing.svg).iter(SVG + tag)
    return [e for e in found if e.get("class") == class_]


def points(line: ET.Element) -> list[tuple[float, float]]:
    """Corners of a polyline."""
    return [tuple(map(float, p.split(","))) for p in line.get("points", "").split()]  # type: ignore

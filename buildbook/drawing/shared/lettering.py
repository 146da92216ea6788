"""Lettering: the typeface, its sizes, how wide a line is, and lines broken or cut to a width."""

from __future__ import annotations

from functools import lru_cache
from math import fsum

from fontTools.ttLib import TTFont

from buildbook.catalogue.typeface import font_folder
from buildbook.drawing.shared.box import Box

FONT = "Roboto"
SMALL_MM, NORMAL_MM = 2.6, 3.0
"""Font sizes. Roboto's capitals are 0.711 em high: 2.6 mm gives 1.85 mm (ISO 3098: 1.8 mm)."""
END_LETTERS = 5
"""Kept of the end of a name that is cut in its middle."""


@lru_cache(maxsize=2)
def _advances(bold: bool) -> tuple[dict[int, float], float]:
    font = TTFont(font_folder() / ("Roboto-Bold.ttf" if bold else "Roboto-Regular.ttf"), lazy=True)
    em = font["head"].unitsPerEm
    metrics, glyphs = font["hmtx"].metrics, font.getBestCmap()
    missing = metrics[".notdef"][0] / em
    return {code: metrics[name][0] / em for code, name in glyphs.items()}, missing


@lru_cache(maxsize=20000)
def text_width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Width of a line of Roboto set at `size_mm`, from the font's own advance widths."""
    advances, missing = _advances(bold)
    return size_mm * fsum(advances.get(ord(letter), missing) for letter in text)


def fitted(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """The text, or as much of it as goes into the width, ending in an ellipsis."""
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    while text and text_width_mm(text + "…", size_mm, bold) > width_mm:
        text = text[:-1]
    return text.rstrip() + "…"


def both_ends(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """The text, or its beginning and its last letters with an ellipsis between, in the width.

    For names: those of one vehicle often differ by a number at their end.
    """
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    end = text[-END_LETTERS:].lstrip()
    room = width_mm - text_width_mm("…" + end, size_mm, bold)
    start = text[:-END_LETTERS]
    while start and text_width_mm(start, size_mm, bold) > room:
        start = start[:-1]
    return f"{start.rstrip()}…{end}" if start else fitted(text, size_mm, width_mm, bold)


def wrapped(
    text: str, size_mm: float, width_mm: float, lines: int | None = None, bold: bool = False
) -> list[str]:
    """The text broken at spaces (and hyphens) into lines of a width; a word too wide is cut.

    `lines` are the most that there is room for: the last of them holds what goes into it.
    """
    words = text.replace("-", "- ").split(" ")
    done: list[str] = []
    line = ""
    for place, word in enumerate(words):
        joint = "" if not line or line.endswith("-") else " "
        if line and text_width_mm(line + joint + word, size_mm, bold) > width_mm:
            if lines is not None and len(done) == lines - 1:
                rest = " ".join([line, *words[place:]]).replace("- ", "-")
                return [*done, fitted(rest, size_mm, width_mm, bold)]
            done.append(fitted(line, size_mm, width_mm, bold))
            line = word
        else:
            line += joint + word
    return [*done, fitted(line, size_mm, width_mm, bold)]


def label_box(
    x: float,
    y: float,
    text: str,
    size: float = SMALL_MM,
    anchor: str = "start",
    bold: bool = False,
    turned: bool = False,
) -> Box:
    """Box of a line of text whose baseline starts (or is centred, or ends) at x, y.

    `turned` text reads upwards from the foot of the sheet (rotated -90 degrees about x, y).
    """
    width = text_width_mm(text, size, bold)
    before = {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    up, down = 0.76 * size, 0.22 * size
    if turned:
        return Box(x - up, y - (width - before), up + down, width)
    return Box(x - before, y - up, width, up + down)

"""The faces of the book's typeface as a PDF needs them: glyphs, widths, and a part of each."""

from __future__ import annotations

import io
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from math import fsum
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

from buildbook.book.resources import font_files
from buildbook.catalogue.typeface import lacking

PER_EM = 1000
"""PDF counts widths in thousandths of the font's size (ISO 32000-1, 9.2.4)."""


@dataclass(frozen=True)
class Face:
    """One face: glyph numbers by character, and its measures in thousandths of its size."""

    name: str
    """'Regular': a key of WEIGHTS."""
    path: Path
    glyphs: dict[int, int]
    """Code point -> glyph number."""
    widths: tuple[float, ...]
    """By glyph number."""
    ascent: float
    descent: float
    box: tuple[float, float, float, float]

    def has(self, text: str) -> bool:
        """True where every character of the text has a glyph."""
        return all(ord(letter) in self.glyphs for letter in text)

    def hex_of(self, text: str) -> str:
        """The text as the hexadecimal digits of a PDF string; KeyError without a glyph."""
        return "".join(f"{self.glyphs[ord(letter)]:04x}" for letter in text)

    def width_of(self, text: str) -> float:
        """Width of a line, not kerned, in thousandths of the size."""
        return fsum(self.widths[self.glyphs[ord(letter)]] for letter in text)


MISSING = "\ufffd"
"""Printed in place of a character that the typeface lacks; a finding says which."""


def printable(text: str) -> str:
    """The text with a sign in place of each character that the typeface lacks."""
    unknown = lacking(text)
    return text.translate(dict.fromkeys(map(ord, unknown), MISSING)) if unknown else text


@cache
def face(name: str) -> Face:
    """A face of the typeface by its name."""
    path = font_files()[name]
    font = TTFont(path, lazy=True)
    scale = PER_EM / font["head"].unitsPerEm
    order, metrics, head = font.getGlyphOrder(), font["hmtx"].metrics, font["head"]
    number = {glyph: place for place, glyph in enumerate(order)}
    return Face(
        name,
        path,
        {code: number[glyph] for code, glyph in font.getBestCmap().items()},
        tuple(round(metrics[glyph][0] * scale, 3) for glyph in order),
        round(font["hhea"].ascent * scale, 3),
        round(font["hhea"].descent * scale, 3),
        tuple(round(value * scale, 3) for value in (head.xMin, head.yMin, head.xMax, head.yMax)),
    )


def part_of(name: str, glyphs: Collection[int]) -> bytes:
    """The TTF file of a face with these glyphs alone, under the numbers that they had."""
    options = subset.Options(
        retain_gids=True,
        notdef_outline=True,
        layout_features=[],
        recalc_timestamp=False,
        name_IDs=[],
        hinting=True,
    )
    options.drop_tables += ["GSUB", "GPOS", "GDEF"]
    font = TTFont(face(name).path, recalcTimestamp=False)
    subsetter = subset.Subsetter(options)
    subsetter.populate(gids=sorted(glyphs))
    subsetter.subset(font)
    written = io.BytesIO()
    font.save(written)
    return written.getvalue()

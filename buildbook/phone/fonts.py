"""The drawings' typeface within the file, cut to the letters in use: without it words run over."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterable

from fontTools.ttLib import TTFont
from markupsafe import Markup

from buildbook.book.resources import WEIGHTS
from buildbook.book.typeface import face, part_of


def font_rules(letters: Iterable[tuple[str, Iterable[str]]]) -> Markup:
    """Style sheet rules for faces by name, each with the letters that are used of it."""
    rules = Markup(
        "@font-face{{font-family:Roboto;font-weight:{};src:url(data:font/woff;base64,{})}}"
    )
    return Markup("\n").join(
        rules.format(WEIGHTS[name][0], _packed(name, used)) for name, used in letters if used
    )


def _packed(name: str, letters: Iterable[str]) -> str:
    """A face with these letters alone, as WOFF in base64."""
    known = face(name).glyphs
    glyphs = [known[ord(letter)] for letter in letters if ord(letter) in known]
    font = TTFont(io.BytesIO(part_of(name, glyphs)), recalcTimestamp=False)
    font.flavor = "woff"
    packed = io.BytesIO()
    font.save(packed)
    return base64.b64encode(packed.getvalue()).decode("ascii")

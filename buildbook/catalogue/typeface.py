"""The typeface of all pages and drawings: where its files are, and which characters it has."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path

LATIN_1 = 0x100
"""Below it the typeface has every character that is seen: most texts need no look into it."""


def font_folder() -> Path:
    """Folder of the TTF files that the Roboto package brings."""
    spec = importlib.util.find_spec("font_roboto")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("font_roboto (package font-roboto) is not installed")
    return Path(spec.origin).parent / "files"


@cache
def known_characters() -> frozenset[int]:
    """Code points that its upright, bold and slanted faces all have: Latin, Greek, Cyrillic."""
    from fontTools.ttLib import TTFont

    names = ("Regular", "Bold", "Italic")
    faces = (TTFont(font_folder() / f"Roboto-{name}.ttf", lazy=True) for name in names)
    return frozenset.intersection(*(frozenset(face.getBestCmap()) for face in faces))


def lacking(text: str) -> str:
    """Characters of a text that the typeface lacks, each once, in the order of their codes."""
    if text.isascii():
        return ""
    beyond = sorted(letter for letter in set(text) if ord(letter) >= LATIN_1)
    if not beyond:
        return ""
    known = known_characters()
    return "".join(letter for letter in beyond if ord(letter) not in known)

"""Finds characters that the typeface of the book lacks."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import Any

from buildbook.catalogue.typeface import lacking
from buildbook.checks.model import Finding
from buildbook.checks.places import where_of_note, written_at
from buildbook.checks.stages import Assessed
from buildbook.problem import Where
from buildbook.words.say import say

RULE = "character-missing"
SEVERITY = "warning"
SOURCE = "the typeface's own table of characters"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each character once, with the first text that holds it."""
    seen: set[str] = set()
    for about, where, text in _texts(assessed):
        for letter in lacking(text):
            if letter in seen:
                continue
            seen.add(letter)
            name = unicodedata.name(letter, "").lower() or say("a character without a name")
            yield Finding(
                RULE,
                "warning",
                about,
                say(
                    "U+{number:04X} ({name}), in the text of {about}, is not in the typeface: "
                    "the book prints \ufffd in its place.",
                    number=ord(letter),
                    name=name,
                    about=about,
                ),
                say("Write it in Latin, Greek or Cyrillic letters, or in words."),
                SOURCE,
                where,
            )


def _texts(assessed: Assessed) -> Iterator[tuple[str, Where, str]]:
    """(what it is about, where that is, text) of all that the author wrote."""
    written = assessed.vehicle.description
    for section in type(written).model_fields:
        value = getattr(written, section)
        if isinstance(value, dict):
            for name, entry in value.items():
                for text in (name, *_strings(entry)):
                    yield name, written_at(assessed.vehicle, section, name), text
        else:
            for text in _strings(value):
                yield section, written_at(assessed.vehicle, section), text
    for target, text in assessed.vehicle.notes.items():
        yield f"the notes on {target}", where_of_note(assessed.vehicle, target), text


def _strings(value: Any) -> Iterator[str]:
    """Every text inside a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _strings(key)
            yield from _strings(inner)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _strings(inner)
    elif hasattr(type(value), "model_fields"):
        for name in type(value).model_fields:
            yield from _strings(getattr(value, name))

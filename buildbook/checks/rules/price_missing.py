"""Finds needs whose parts have no price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from buildbook.checks.model import Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.places import where_of_need
from buildbook.checks.stages import Assessed
from buildbook.description.models import Part
from buildbook.words.say import say

RULE = "price-missing"
SEVERITY = "note"
SOURCE = "this description: parts"


def check(assessed: Assessed) -> Iterator[Finding]:
    """One note a need: the total is too low by its cost."""
    unserved = {key for key, _ in assessed.unserved}
    parts = assessed.vehicle.description.parts
    for key in assessed.unpriced:
        if key not in unserved:
            yield Finding(
                RULE,
                "note",
                key,
                say(
                    "No price is known for {need}: the total leaves it out.",
                    need=_what(parts, key),
                ),
                say("Ask for its price and write it with its date."),
                SOURCE,
                where_of_need(assessed.vehicle, key),
            )


def _what(parts: Mapping[str, Part], key: str) -> str:
    """A part by what it is; anything else by the name of its need."""
    part = key.removeprefix("part ")
    return called(parts[part].what, part) if part in parts else quoted([key])

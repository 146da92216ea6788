"""Finds parts whose price is nothing."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "price-zero"
SEVERITY = "note"
SOURCE = "this description: parts"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A price of nought is a price forgotten."""
    for part_id, part in assessed.vehicle.description.parts.items():
        if part.price is not None and not float(part.price) and not part.owned:
            yield Finding(
                RULE,
                "note",
                part_id,
                say(
                    "The price of {what} ({part_id}) is 0: the total takes it for free.",
                    what=part.what,
                    part_id=part_id,
                ),
                say(
                    "Write its price, or leave it out until it is known; what you have is `owned`."
                ),
                SOURCE,
                written_at(assessed.vehicle, "parts", part_id, "price"),
            )

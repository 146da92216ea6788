"""Finds prices asked for so long ago that they no longer hold."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.parts.prices import LONGEST_PRICE_DAYS, is_old
from buildbook.words.say import say

RULE = "price-old"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: prices are asked for again after a year"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each price's date with the date of this revision; one without a date is old."""
    today = assessed.vehicle.description.vehicle.date
    for part_id, part in assessed.vehicle.description.parts.items():
        if part.price is None or not is_old(part.dated, today):
            continue
        if part.dated is None:
            yield Finding(
                RULE,
                "note",
                part_id,
                say(
                    "The price of {what} ({part_id}) bears no date.",
                    what=part.what,
                    part_id=part_id,
                ),
                say("Write its date: `dated: 2031-05-17`."),
                SOURCE,
                written_at(assessed.vehicle, "parts", part_id, "price"),
            )
            continue
        yield Finding(
            RULE,
            "note",
            part_id,
            say(
                "The price of {what} ({part_id}) was asked on {dated}, {days} days before "
                "this revision; {longest_price_days} days are allowed.",
                what=part.what,
                part_id=part_id,
                dated=part.dated,
                days=(today - part.dated).days,
                longest_price_days=LONGEST_PRICE_DAYS,
            ),
            say("Ask for the price again and correct its date."),
            SOURCE,
            written_at(assessed.vehicle, "parts", part_id, "dated"),
        )

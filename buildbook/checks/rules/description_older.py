"""Finds descriptions that are older than the harness that was built."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildbook.checks.model import Finding
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "description-older"
SEVERITY = "warning"
SOURCE = "revision and date of this description, against those in the record of what was built"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the record's revision and date with the vehicle's."""
    old, now = assessed.vehicle.as_built, assessed.vehicle.description.vehicle
    if old is None:
        return
    dated = old.date is not None and old.date > now.date
    if not dated and not _comes_after(old.revision, now.revision):
        return
    revisions: dict[str, Any] = {"built": old.revision, "revision": now.revision, "date": now.date}
    yield Finding(
        RULE,
        "warning",
        "vehicle",
        say(
            "The harness was built at revision {built} of {built_on}, and this description is "
            "revision {revision} of {date}: it is older than what hangs in the car.",
            built_on=old.date,
            **revisions,
        )
        if old.date
        else say(
            "The harness was built at revision {built}, and this description is revision "
            "{revision} of {date}: it is older than what hangs in the car.",
            **revisions,
        ),
        say(
            "Look for the newer description and work on that one; if this is it, "
            "give it its revision and date."
        ),
        SOURCE,
        written_at(assessed.vehicle, "vehicle", "revision"),
    )


def _comes_after(one: str, other: str) -> bool:
    """Whether a revision follows another: 10 after 9, C after B, AA after Z; else nobody knows."""
    if one.isdigit() and other.isdigit():
        return int(one) > int(other)
    if one.isalpha() and other.isalpha() and one.isupper() == other.isupper():
        return (len(one), one) > (len(other), other)
    return False

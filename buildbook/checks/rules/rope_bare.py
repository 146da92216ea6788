"""Finds rope along which no wire runs."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "rope-bare"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: rope was laid to something; where no wire follows, that was forgotten"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Runs that no wire takes, where the vehicle has wires at all."""
    for run in assessed.vehicle.runs:
        if not assessed.harness.wires or is_wired(assessed.harness, run.id):
            continue
        yield Finding(
            RULE,
            "note",
            run.id,
            say(
                "The rope from {from_point} to {to_point} was measured, and no wire runs along it.",
                from_point=run.from_point,
                to_point=run.to_point,
            ),
            say(
                "See what should be at {to_point} (at), or take the run out.",
                to_point=run.to_point,
            ),
            SOURCE,
            run.where,
        )

"""Finds rope along which no wire runs."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed

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
            f"The rope from {run.from_point} to {run.to_point} was measured, and no wire runs "
            "along it.",
            f"See what should be at {run.to_point} (at), or take the run out.",
            SOURCE,
            run.where,
        )

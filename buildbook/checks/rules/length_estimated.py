"""Finds rope whose length is only estimated."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed
from buildbook.figures import length

RULE = "length-estimated"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: measure with rope in the car before a wire is cut"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each estimated run that carries wire."""
    share = assessed.vehicle.description.vehicle.lengths.estimated
    for run in assessed.vehicle.runs:
        if run.estimated and is_wired(assessed.harness, run.id):
            yield Finding(
                RULE,
                "note",
                run.id,
                f"The run from {run.from_point} to {run.to_point}, {length(run.length_m)}, "
                f"is only estimated; its wires are cut {share * 100:g} % longer.",
                "Measure it with the rope in the vehicle, and take `known: estimated` out.",
                SOURCE,
                run.where,
            )

"""Finds rope whose length is only estimated."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import PRACTICE, Context, is_wired
from buildbook.checks.model import Finding
from buildbook.figures import length

RULE = "length-estimated"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: measure with rope in the car before a wire is cut"


def check(context: Context) -> Iterator[Finding]:
    """Each estimated run that carries wire."""
    share = context.vehicle.description.vehicle.lengths.estimated
    for run in context.vehicle.runs:
        if run.estimated and is_wired(context.harness, run.id):
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

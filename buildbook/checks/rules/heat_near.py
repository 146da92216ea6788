"""Finds harness that lies too near something hot."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.words.say import say

RULE = "heat-near"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a hand's breadth from a turbocharger, manifold or exhaust without a shield"
LEAST_M = 0.15


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each run whose distance was measured; a cool zone does not help beside radiation."""
    for run in assessed.vehicle.runs:
        if (
            run.from_heat_m is None
            or run.from_heat_m >= LEAST_M
            or not is_wired(assessed.harness, run.id)
        ):
            continue
        yield Finding(
            RULE,
            "warning",
            run.id,
            say(
                "The harness from {from_point} to {to_point} comes within "
                "{from_heat_m} of something hot with no shield between; {least_m} are "
                "wanted.",
                from_point=run.from_point,
                to_point=run.to_point,
                from_heat_m=length(run.from_heat_m),
                least_m=length(LEAST_M),
            ),
            say(
                "Clamp it farther away, or put a sheet of metal between, clear of "
                "both. Sleeve alone does not keep radiated heat out for long."
            ),
            SOURCE,
            run.where,
        )

"""Finds rope with too few clamps for its length."""

from __future__ import annotations

import math
from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import is_wired
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.words.say import say_counted, say_n

RULE = "support-far"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a clamp about every 300 mm (AC 43.13-1B allows 600 mm, from memory)"
MOST_M = 0.3
FROM_M = 0.375
"""A quarter over that is told: a clamp is set where there is a place for one."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """A run is held at both ends; its clamps share it out evenly."""
    for run in assessed.vehicle.runs:
        if not is_wired(assessed.harness, run.id):
            continue
        apart = run.length_m / (run.clamps + 1)
        if apart <= FROM_M + 1e-9:
            continue
        needed = math.ceil(run.length_m / MOST_M - 1e-9) - 1
        yield Finding(
            RULE,
            "warning",
            run.id,
            say_counted(
                "The run from {from_point} to {to_point} is {length} long and has {n} clamp: "
                "{apart} hang free; {most} are usual.",
                "The run from {from_point} to {to_point} is {length} long and has {n} clamps: "
                "{apart} hang free; {most} are usual.",
                run.clamps,
                from_point=run.from_point,
                to_point=run.to_point,
                length=length(run.length_m),
                apart=length(apart),
                most=length(MOST_M),
            ),
            say_n("Fit {n} clamp (clamps: {n}).", "Fit {n} clamps (clamps: {n}).", needed),
            SOURCE,
            run.where,
        )

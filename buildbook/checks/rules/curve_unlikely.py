"""Finds generators that give less as they turn faster."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.figures import significant
from buildbook.vehicle.supply import entries
from buildbook.words.say import say

RULE = "curve-unlikely"
SEVERITY = "warning"
SOURCE = "ISO 8854: the current of an alternator over its speed rises, and flattens at the top"
FALLS = 0.9
"""Of the amps before, below which it falls: curves are read off paper. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each point of a curve with the one before."""
    vehicle = assessed.vehicle
    for _, name, path, said in entries(vehicle.description.supply):
        curve = sorted(said.curve) if isinstance(said, written.Generator) and said.curve else []
        for (before_rpm, before_a), (rpm, amps) in pairwise(curve):
            if amps >= FALLS * before_a:
                continue
            tenfold = 10 * amps
            remedy = (
                say(
                    "Correct the amps at {rpm:g} rpm (`curve`), perhaps {perhaps_a} A, or those "
                    "before it.",
                    rpm=rpm,
                    perhaps_a=significant(tenfold, 3),
                )
                if tenfold >= before_a
                else say("Correct the amps at {rpm:g} rpm (`curve`), or those before it.", rpm=rpm)
            )
            yield Finding(
                RULE,
                "warning",
                name,
                say(
                    "{source} gives {gives_a} A at {rpm:g} rpm and {before_a} A at "
                    "{before_rpm:g} rpm: its `curve` falls, and no generator gives less as it "
                    "turns faster.",
                    source=called(name.capitalize(), name),
                    gives_a=significant(amps, 3),
                    rpm=rpm,
                    before_a=significant(before_a, 3),
                    before_rpm=before_rpm,
                ),
                remedy,
                SOURCE,
                written_at(vehicle, *path, "curve"),
            )
            break

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
            fits = f", perhaps {significant(tenfold, 3)} A" if tenfold >= before_a else ""
            yield Finding(
                RULE,
                "warning",
                name,
                f"{called(name.capitalize(), name)} gives {significant(amps, 3)} A at {rpm:g} rpm "
                f"and {significant(before_a, 3)} A at {before_rpm:g} rpm: its `curve` falls, and "
                "no generator gives less as it turns faster.",
                f"Correct the amps at {rpm:g} rpm (`curve`){fits}, or those before it.",
                SOURCE,
                written_at(vehicle, *path, "curve"),
            )
            break

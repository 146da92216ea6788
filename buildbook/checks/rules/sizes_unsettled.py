"""Finds wires and fuses whose size was still changing when the rounds of sizing were up."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed

RULE = "sizes-unsettled"
SEVERITY = "error"
SOURCE = "sizes are final when currents solved with them ask for no others"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Tell each wire and fuse whose own place is known."""
    vehicle, sizing = assessed.vehicle, assessed.sizing
    for name in sizing.unsettled:
        is_fuse = name in sizing.fuses
        where = (
            vehicle.devices[name].where
            if is_fuse
            else vehicle.circuits[assessed.harness.wires[name].circuit].where
        )
        yield Finding(
            RULE,
            "error",
            name,
            f"The {'rating of fuse' if is_fuse else 'size of wire'} {name} was still changing "
            f"after {sizing.rounds} rounds: each size alters the currents so far that another is "
            "asked for. What is printed for it is not final.",
            f"Fix its {'rating (rating)' if is_fuse else 'size (size)'} in the description, and "
            "see what the checks say of that.",
            SOURCE,
            where,
        )

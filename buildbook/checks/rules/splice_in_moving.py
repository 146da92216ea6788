"""Finds splices where the harness bends as the vehicle moves."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.places import zones_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "splice-in-moving"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: strands break beside a splice that bends"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the zone in which each splice lies: of its run, or of all that meet at its point."""
    zone_of = {run.id: run.zone for run in assessed.vehicle.runs}
    for splice in assessed.harness.splices.values():
        zones = zones_at(assessed.vehicle, splice.point, splice.harness)
        if splice.run:
            zones = tuple(zone for zone in zones if zone[0] == zone_of[splice.run])
        moving = [name for name, zone in zones if zone.moving]
        if moving:
            yield Finding(
                RULE,
                "warning",
                splice.id,
                say(
                    "Splice {splice} of '{circuit}' lies at {point}, and there the harness "
                    "moves (zone {moving}).",
                    splice=splice.id,
                    circuit=splice.circuit,
                    point=splice.point,
                    moving=moving[0],
                ),
                say("Name a breakout for it that keeps still (splice at)."),
                SOURCE,
                assessed.vehicle.circuits[splice.circuit].where,
            )

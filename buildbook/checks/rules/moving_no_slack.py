"""Finds wires without slack where the vehicle moves."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import few_of
from buildbook.checks.stages import Assessed

RULE = "moving-no-slack"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: strands break where a harness moves without slack"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Wires that come onto moving rope from still rope must have length added."""
    zones = assessed.vehicle.description.zones
    zone_of = {run.id: run.zone for run in assessed.vehicle.runs}
    for run in assessed.vehicle.runs:
        bundle = assessed.harness.bundles.get(run.id)
        if bundle is None or not zones[run.zone].moving:
            continue
        bare = [
            wire
            for wire in bundle.wires
            if any(not zones[zone_of[r]].moving for r in assessed.harness.wires[wire].runs)
            and not any(
                a.kind in ("moving", "as built") and a.length_m > 0
                for a in assessed.harness.wires[wire].addends
            )
        ]
        if bare:
            yield Finding(
                RULE,
                "warning",
                run.id,
                f"The run from {run.from_point} to {run.to_point} moves, and wire {few_of(bare)} "
                f"{'has' if len(bare) == 1 else 'have'} no slack for it.",
                "Give moving rope its share (vehicle: lengths: moving), 5 % or more.",
                SOURCE,
                run.where,
            )

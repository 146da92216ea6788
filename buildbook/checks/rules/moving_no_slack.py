"""Finds wires without slack where the vehicle moves."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.words.joined import few_of
from buildbook.words.say import say, say_n

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
                say_n(
                    "The run from {from_point} to {to_point} moves, and wire {wires} has no slack "
                    "for it.",
                    "The run from {from_point} to {to_point} moves, and wire {wires} have no slack "
                    "for it.",
                    len(bare),
                    from_point=run.from_point,
                    to_point=run.to_point,
                    wires=few_of(bare),
                ),
                say("Give moving rope its share (vehicle: lengths: moving), 5 % or more."),
                SOURCE,
                run.where,
            )

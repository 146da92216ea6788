"""Finds cables without a fuse that a dead short harms before anybody has switched it off."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.model import Limit
from buildbook.words.say import say

RULE = "short-burns-on"
SEVERITY = "warning"
SOURCE = (
    "adiabatic equation, IEC 60364-5-54; five seconds to pull the isolator are our choice, after "
    "IEC 60364-4-41"
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at what a short past every fuse does to each wire, the way back to the battery too."""
    for wire_id, sized in assessed.sizing.wires.items():
        for limit in sized.limits:
            if limit.name == "unfused" and not limit.met:
                yield _finding(assessed, wire_id, limit)


def _finding(assessed: Assessed, wire_id: str, limit: Limit) -> Finding:
    circuit = assessed.vehicle.circuits[assessed.harness.wires[wire_id].circuit]
    return Finding(
        RULE,
        "warning",
        wire_id,
        say(
            "No fuse stops a dead short that flows in wire {wire} of '{circuit}' "
            "({short}): its insulation is harmed after {seconds} s.",
            wire=wire_id,
            circuit=circuit.id,
            short=limit.detail,
            seconds=significant(limit.allowed, 2),
        ),
        say(
            "Put a bolted fuse at the battery that this wire outlasts; or make the "
            "wire thicker and see that an isolator cuts it off."
        ),
        SOURCE,
        circuit.where,
    )

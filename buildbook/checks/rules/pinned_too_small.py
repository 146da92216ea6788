"""Finds sizes that the author wrote and that are too small."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant

RULE = "pinned-too-small"
SEVERITY = "error"
SOURCE = "the limits that sizing computes for each wire: heat, fuse, short circuit, terminal"

WHY = {
    "heat": "for its current in that heat",
    "fuse": "for the fuse that protects it",
    "short": "for a short circuit until its fuse opens",
}


def check(assessed: Assessed) -> Iterator[Finding]:
    """Drop has a rule of its own, and so has a wire as built."""
    for wire_id, sized in assessed.sizing.wires.items():
        unmet = [
            limit
            for limit in sized.limits
            if not limit.met and limit.name not in ("drop", "as built", "terminal")
        ]
        if not sized.pinned or not unmet or sized.governing == "as built":
            continue
        limit = unmet[0]
        wire = assessed.harness.wires[wire_id]
        yield Finding(
            RULE,
            "error",
            wire_id,
            f"Wire {wire_id} of '{wire.circuit}' is written as {sized.label}, which is too small "
            f"{WHY.get(limit.name, 'for ' + limit.name)}: {significant(limit.value, 3)} "
            f"{limit.unit} "
            f"where {significant(limit.allowed, 3)} {limit.unit} are allowed.",
            f"Take {limit.needs} or more, or leave `size` out.",
            SOURCE,
            assessed.vehicle.circuits[wire.circuit].where,
        )

"""Finds sizes that the author wrote, and mosts, that are too small."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.description.quantities import parse_size
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
        held = sized.pinned or any(limit.name == "most" for limit in sized.limits)
        if not held or not unmet or sized.governing == "as built":
            continue
        # The author's own size is held against all limits at once: told where none stands alone.
        separate = [limit for limit in unmet if limit.name in WHY] or unmet
        reasons = [
            f"{WHY.get(limit.name, 'for ' + limit.name)}: {significant(limit.value, 3)} "
            f"{limit.unit} where {significant(limit.allowed, 3)} {limit.unit} are allowed"
            for limit in separate
        ]
        sizes = [limit.needs for limit in separate if limit.needs[-1:].isdigit()]
        wire = assessed.harness.wires[wire_id]
        yield Finding(
            RULE,
            "error",
            wire_id,
            f"Wire {wire_id} of '{wire.circuit}' is "
            f"{'written as' if sized.pinned else 'by its most size'} {sized.label}, which is too "
            "small "
            f"{'; and '.join(reasons)}.",
            f"Take {max(sizes, key=_area_mm2)} or more, or leave `size` out."
            if sizes and sized.pinned
            else "Allow a larger `most size`, or less current."
            if not sized.pinned
            else "Leave `size` out; where the air itself is too hot, take a hotter family.",
            SOURCE,
            assessed.vehicle.circuits[wire.circuit].where,
        )


def _area_mm2(size: str) -> float:
    return parse_size(size).area_mm2

"""Finds sizes that the author wrote, and mosts, that are too small."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.description.quantities import parse_size
from buildbook.figures import significant
from buildbook.harness.model import Wire
from buildbook.sizing.model import Limit, WireSizing, limit_said
from buildbook.words.say import in_figures, mark, say

RULE = "pinned-too-small"
SEVERITY = "error"
SOURCE = "the limits that sizing computes for each wire: heat, fuse, short circuit, terminal"

DEGREES = mark("degC", context="unit")
WHY = {
    "heat": mark("for its current in that heat: {value} {unit} where {allowed} {unit} are allowed"),
    "fuse": mark(
        "for the fuse that protects it: {value} {unit} where {allowed} {unit} are allowed"
    ),
    "short": mark(
        "for a short circuit until its fuse opens: {value} {unit} where {allowed} {unit} are "
        "allowed"
    ),
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
        sizes = [limit.needs for limit in separate if limit.needs[-1:].isdigit()]
        wire = assessed.harness.wires[wire_id]
        yield Finding(
            RULE,
            "error",
            wire_id,
            _text(wire, sized, separate),
            _remedy(sizes, sized.pinned),
            SOURCE,
            assessed.vehicle.circuits[wire.circuit].where,
        )


def _text(wire: Wire, sized: WireSizing, unmet: list[Limit]) -> str:
    reasons = _reason(unmet[0])
    for limit in unmet[1:]:
        reasons = say("{reasons}; and {last}", reasons=reasons, last=_reason(limit))
    said = {
        "wire": wire.id,
        "circuit": wire.circuit,
        "size": in_figures(sized.label),
        "reasons": reasons,
    }
    if sized.pinned:
        return say(
            "Wire {wire} of '{circuit}' is written as {size}, which is too small {reasons}.", **said
        )
    return say(
        "Wire {wire} of '{circuit}' is by its most size {size}, which is too small {reasons}.",
        **said,
    )


def _reason(limit: Limit) -> str:
    said = {
        "value": significant(limit.value, 3),
        "unit": say(DEGREES, context="unit") if limit.unit == DEGREES else limit.unit,
        "allowed": significant(limit.allowed, 3),
    }
    if limit.name in WHY:
        return say(WHY[limit.name], **said)
    return say(
        "for {limit}: {value} {unit} where {allowed} {unit} are allowed",
        limit=limit_said(limit.name),
        **said,
    )


def _remedy(sizes: list[str], pinned: bool) -> str:
    if not pinned:
        return say("Allow a larger `most size`, or less current.")
    if sizes:
        size = in_figures(max(sizes, key=_area_mm2))
        return say("Take {size} or more, or leave `size` out.", size=size)
    return say("Leave `size` out; where the air itself is too hot, take a hotter family.")


def _area_mm2(size: str) -> float:
    return parse_size(size).area_mm2

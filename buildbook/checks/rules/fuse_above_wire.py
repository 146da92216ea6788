"""Finds fuses rated above what the weakest wire behind them stands."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "fuse-above-wire"
SEVERITY = "error"
SOURCE = "ISO 8820-1: a fuse protects the cable behind it"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each fuse's rating with its weakest wire's current, unless a short chose it."""
    for fuse_id, sized in assessed.sizing.fuses.items():
        if fuse_id in assessed.shorted and not sized.pinned:
            continue
        if not sized.weakest_wire or sized.rating_a <= sized.weakest_a + 1e-9:
            continue
        device = assessed.vehicle.devices[fuse_id]
        yield Finding(
            RULE,
            "error",
            fuse_id,
            say(
                "{device} is {rating_a:g} A, but wire {weakest_wire} behind it stands "
                "only {weakest_a:.1f} A: the wire would burn first.",
                device=first_up(name_of(device)),
                rating_a=sized.rating_a,
                weakest_wire=sized.weakest_wire,
                weakest_a=sized.weakest_a,
            ),
            _unknown(assessed, sized.weakest_wire)
            + say(
                "Use a larger size for wire {wire}, give it a fuse of its own, or fit a smaller "
                "{fuse}.",
                wire=sized.weakest_wire,
                fuse=fuse_id,
            ),
            SOURCE,
            device.where,
        )


def _unknown(assessed: Assessed, wire: str) -> str:
    """What to ask of the wire's data sheet first, where it stands nothing beyond its rating."""
    sized = assessed.sizing.wires.get(wire)
    family = assessed.vehicle.wire_families.get(sized.family) if sized else None
    if family is None or family.overload_c > family.rated_c:
        return ""
    return say(
        "Nothing says what the insulation of {family} stands beyond "
        "{rated_c:g} degC, so it counts as harmed there at once: give "
        "`overload` and `short circuit` of the family. ",
        family=family.id,
        rated_c=family.rated_c,
    )

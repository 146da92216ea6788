"""Finds fuses rated above what the weakest wire behind them stands."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed

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
            f"{first_up(name_of(device))} is {sized.rating_a:g} A, but wire {sized.weakest_wire} "
            "behind it "
            f"stands only {sized.weakest_a:.1f} A: the wire would burn first.",
            _unknown(assessed, sized.weakest_wire)
            + f"Use a larger size for wire {sized.weakest_wire}, give it a fuse of its own, or fit "
            f"a smaller {fuse_id}.",
            SOURCE,
            device.where,
        )


def _unknown(assessed: Assessed, wire: str) -> str:
    """What to ask of the wire's data sheet first, where it stands nothing beyond its rating."""
    sized = assessed.sizing.wires.get(wire)
    family = assessed.vehicle.wire_families.get(sized.family) if sized else None
    if family is None or family.overload_c > family.rated_c:
        return ""
    return (
        f"Nothing says what the insulation of {family.id} stands beyond {family.rated_c:g} degC, "
        "so it counts as harmed there at once: give `overload` and `short circuit` of the family. "
    )

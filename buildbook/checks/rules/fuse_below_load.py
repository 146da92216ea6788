"""Finds fuses that their own load would wear out or blow."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import FuseFamily
from buildbook.checks.model import Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.sizing.fuse_rating import carries_a
from buildbook.sizing.load_paths import state_said
from buildbook.sizing.model import FuseSizing
from buildbook.words.say import say

RULE = "fuse-below-load"
SEVERITY = "error or warning"
SOURCE = "share of its rating that a fuse of its family carries for long (fuse catalogue)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A fuse carries at most its family's share of its rating for long; a short is no load."""
    for fuse_id, sized in assessed.sizing.fuses.items():
        device = assessed.vehicle.devices[fuse_id]
        family = fuse_families()[device.written.fuse]
        allowed = sized.rating_a * family.continuous_share
        if sized.load_a <= allowed + 1e-9 or fuse_id in assessed.shorted:
            continue
        severity = "error" if sized.load_a > sized.rating_a else "warning"
        yield Finding(
            RULE,
            severity,
            fuse_id,
            say(
                "{fuse} of {rating_a:g} A carries {load_a:.1f} A in '{state}'; for long it should "
                "carry no more than {allowed_a:.1f} A.",
                fuse=first_up(name_of(device)),
                rating_a=sized.rating_a,
                load_a=sized.load_a,
                state=state_said(sized.state),
                allowed_a=allowed,
            ),
            _remedy(family, sized),
            say(family.source),
            device.where,
        )


def _remedy(family: FuseFamily, sized: FuseSizing) -> str:
    """A larger rating only where the family has one and the wires stand it."""
    able = (r for r in family.ratings_a if sized.load_a <= carries_a(family, r, sized.ambient_c))
    needed = next(able, None)
    if needed is None:
        return say(
            "Split the load: {largest_a:g} A is the largest fuse of this kind.",
            largest_a=family.ratings_a[-1],
        )
    if sized.weakest_wire and needed <= sized.weakest_a:
        return say(
            "Fit a fuse of {needed_a:g} A (`rating`), which its wires stand, or split the load.",
            needed_a=needed,
        )
    return say("Split the load, or leave `rating` out: a fuse is then chosen with wires to match.")

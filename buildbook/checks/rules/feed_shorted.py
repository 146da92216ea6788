"""Finds feeds that meet a ground with no load between."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context, first_up, name_of
from buildbook.checks.model import Finding

RULE = "feed-shorted"
SEVERITY = "error"
SOURCE = "the solution of each state: more current than a fuse or an output stands"
SHORT = 3.0
"""Times what a fuse is rated for: no load, but a feed that meets a ground."""


def check(context: Context) -> Iterator[Finding]:
    """A fuse on a way past all loads is one, however large it is."""
    for fuse_id, sized in context.sizing.fuses.items():
        if fuse_id not in context.shorted and sized.load_a <= SHORT * sized.rating_a:
            continue
        device = context.vehicle.devices[fuse_id]
        yield Finding(
            RULE,
            "error",
            fuse_id,
            f"{first_up(name_of(device))} would carry {sized.load_a:.0f} A in '{sized.state}' "
            "against a rating "
            f"of {sized.rating_a:g} A: a feed meets a ground, with no load between.",
            "See which circuit of those it feeds joins a feed with a ground.",
            SOURCE,
            device.where,
        )

"""Finds feeds that meet a ground with no load between."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import first_up, name_of
from buildbook.checks.stages import Assessed
from buildbook.sizing.load_paths import state_said
from buildbook.words.say import say

RULE = "feed-shorted"
SEVERITY = "error"
SOURCE = "the solution of each state: more current than a fuse or an output stands"
SHORT = 3.0
"""Times what a fuse is rated for: no load, but a feed that meets a ground."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """A fuse on a way past all loads is one, however large it is."""
    for fuse_id, sized in assessed.sizing.fuses.items():
        if fuse_id not in assessed.shorted and sized.load_a <= SHORT * sized.rating_a:
            continue
        device = assessed.vehicle.devices[fuse_id]
        yield Finding(
            RULE,
            "error",
            fuse_id,
            say(
                "{device} would carry {load_a:.0f} A in '{state}' against a rating of "
                "{rating_a:g} A: a feed meets a ground, with no load between.",
                device=first_up(name_of(device)),
                load_a=sized.load_a,
                state=state_said(sized.state),
                rating_a=sized.rating_a,
            ),
            say("See which circuit of those it feeds joins a feed with a ground."),
            SOURCE,
            device.where,
        )

"""Finds wires and fuses whose size was still changing when the rounds of sizing were up."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "sizes-unsettled"
SEVERITY = "error"
SOURCE = "sizes are final when currents solved with them ask for no others"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Tell each wire and fuse whose own place is known."""
    vehicle, sizing = assessed.vehicle, assessed.sizing
    for name in sizing.unsettled:
        is_fuse = name in sizing.fuses
        where = (
            vehicle.devices[name].where
            if is_fuse
            else vehicle.circuits[assessed.harness.wires[name].circuit].where
        )
        yield Finding(
            RULE,
            "error",
            name,
            _text(name, sizing.rounds, is_fuse),
            say("Fix its rating (rating) in the description, and see what the checks say of that.")
            if is_fuse
            else say(
                "Fix its size (size) in the description, and see what the checks say of that."
            ),
            SOURCE,
            where,
        )


def _text(name: str, rounds: int, is_fuse: bool) -> str:
    if is_fuse:
        return say(
            "The rating of fuse {fuse} was still changing after {rounds} rounds: each size alters "
            "the currents so far that another is asked for. What is printed for it is not final.",
            fuse=name,
            rounds=rounds,
        )
    return say(
        "The size of wire {wire} was still changing after {rounds} rounds: each size alters the "
        "currents so far that another is asked for. What is printed for it is not final.",
        wire=name,
        rounds=rounds,
    )

"""Finds pass-throughs whose bare pins are live when they are unplugged."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.conducting import conducting_pairs, earthed_ends, live_posts, reach
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import named
from buildbook.checks.stages import Assessed
from buildbook.words.joined import few_of
from buildbook.words.say import say

RULE = "live-pins"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: the half that stays live takes sockets (AC 43.13-1B, 11, from memory)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Open one pass-through at a time and follow the battery to its half with the pins."""
    vehicle = assessed.vehicle
    posts = live_posts(vehicle)
    for through in vehicle.pass_throughs:
        live = _live(assessed, through.device, posts)
        halves = [
            c
            for c in assessed.harness.connectors.values()
            if c.device == through.device and c.gender == "pin"
        ]
        for half in halves:
            hot = [p.cavity or p.name for p in half.pins if p.id in live]
            if hot:
                yield Finding(
                    RULE,
                    "warning",
                    through.device,
                    say(
                        "Unplugged, {device} bares live pins on its {harness} half: {hot}. "
                        "What touches them sparks.",
                        device=named(vehicle, through.device),
                        harness=half.harness,
                        hot=few_of(hot, 3),
                    ),
                    say("Swap the halves (sockets: {harness}).", harness=half.harness),
                    SOURCE,
                    through.where,
                )


def _live(assessed: Assessed, without: str, posts: tuple[str, ...]) -> frozenset[str]:
    """What the battery makes live with a device unplugged.

    What wire alone joins to the body is dead, though a wiper's park or a relay at rest might
    join the battery to the body as well: not both contacts are closed at once.
    """
    vehicle, harness = assessed.vehicle, assessed.harness
    joined = conducting_pairs(vehicle, harness, [without], ("bus", "ground"))
    earthed = reach(joined, "chassis", *earthed_ends(vehicle))
    pairs = conducting_pairs(vehicle, harness, [without])
    return reach((pair for pair in pairs if not earthed & {*pair}), *posts)

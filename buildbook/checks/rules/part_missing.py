"""Finds needs that no part of the description can meet."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.places import where_of_need
from buildbook.checks.stages import Assessed
from buildbook.problem import Where
from buildbook.sizing.fuse_rating import need_of
from buildbook.words.say import say, say_n

RULE = "part-missing"
SEVERITY = "note"
SOURCE = "this description: parts"


def check(assessed: Assessed) -> Iterator[Finding]:
    """One note a need: it would not be ordered. One for all where no part is described.

    A fuse that only a short chose is not to be bought.
    """
    if assessed.unserved and not assessed.vehicle.description.parts:
        yield Finding(
            RULE,
            "note",
            "parts",
            say_n(
                "No parts are described for {n} need: there is nothing to order and no price.",
                "No parts are described for {n} needs: there is nothing to order and no price.",
                len(assessed.unserved),
            ),
            say("Add `parts` with what each serves, when prices are wanted."),
            SOURCE,
            Where("vehicle.yaml"),
        )
        return
    beside = _for_shorts(assessed)
    for key, why in assessed.unserved:
        if key in beside:
            continue
        yield Finding(
            RULE,
            "note",
            key,
            say(
                "Nothing can be ordered for '{key}': {why}.",
                key=key,
                why=say(why),
            ),
            say(
                "Add a part with `serves: {key}` and its price, in packs as long as is needed.",
                key=key,
            ),
            SOURCE,
            where_of_need(assessed.vehicle, key),
        )


def _for_shorts(assessed: Assessed) -> set[str]:
    """Fuses that only shorts ask for."""
    asked: dict[bool, set[str]] = {True: set(), False: set()}
    for fuse_id, sized in assessed.sizing.fuses.items():
        kind = assessed.vehicle.devices[fuse_id].written.fuse
        asked[fuse_id in assessed.shorted].add(need_of(kind, sized.rating_a))
    return asked[True] - asked[False]

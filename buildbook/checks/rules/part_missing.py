"""Finds needs that no part of the description can meet."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context
from buildbook.checks.model import Finding
from buildbook.problem import Where

RULE = "part-missing"
SEVERITY = "note"
SOURCE = "this description: parts"


def check(context: Context) -> Iterator[Finding]:
    """One note a need: it would not be ordered. One for all where no part is described."""
    if context.unserved and not context.vehicle.description.parts:
        yield Finding(
            RULE, "note", "parts",
            f"No parts are described, and {len(context.unserved)} needs wait for one: there is "
            "nothing to order and no price.",
            "Add `parts` with what each serves, when prices are wanted.",
            SOURCE, Where("vehicle.yaml"),
        )  # fmt: skip
        return
    for key, why in context.unserved:
        yield Finding(
            RULE, "note", key,
            f"Nothing can be ordered for '{key}': {why}.",
            f"Add a part with `serves: {key}` and its price, in packs as long as is needed.",
            SOURCE, Where("vehicle.yaml"),
        )  # fmt: skip

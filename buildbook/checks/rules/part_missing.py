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
    """One note a need: it would not be ordered, and the total leaves it out."""
    for key, why in context.unserved:
        yield Finding(
            RULE, "note", key,
            f"Nothing can be ordered for '{key}': {why}.",
            f"Add a part with `serves: {key}` and its price, in packs as long as is needed.",
            SOURCE, Where("vehicle.yaml"),
        )  # fmt: skip

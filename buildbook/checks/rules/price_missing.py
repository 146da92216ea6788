"""Finds needs whose parts have no price."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context
from buildbook.checks.model import Finding
from buildbook.problem import Where

RULE = "price-missing"
SEVERITY = "note"
SOURCE = "this description: parts"


def check(context: Context) -> Iterator[Finding]:
    """One note a need: the total is too low by its cost."""
    unserved = {key for key, _ in context.unserved}
    for key in context.unpriced:
        if key not in unserved:
            yield Finding(
                RULE, "note", key,
                f"No price is known for '{key}': the total leaves it out.",
                "Ask for its price and write it with its date.",
                SOURCE, Where("vehicle.yaml"),
            )  # fmt: skip

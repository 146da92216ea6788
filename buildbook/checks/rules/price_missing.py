"""Finds needs that no priced part serves."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context
from buildbook.checks.model import Finding
from buildbook.problem import Where

RULE = "price-missing"
SOURCE = "this description: parts"


def check(context: Context) -> Iterator[Finding]:
    """One note a need: the total is too low by its cost."""
    for key in context.unpriced:
        yield Finding(
            RULE, "note", key,
            f"No priced part serves '{key}': the total leaves it out.",
            f"Give a part a price and write `serves: {key}`.",
            SOURCE, Where("vehicle.yaml"),
        )  # fmt: skip

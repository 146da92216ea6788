"""Scales of drawings: round ones, as small as any vehicle needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count

STEPS = (1, 2, 5)
"""Of every ten (ISO 5455)."""


def scales_from(first: Sequence[float]) -> Iterator[float]:
    """The scales given, and beyond the last of them 1, 2 and 5 of every power of ten."""
    yield from first
    for tens in count():
        yield from (step * 10**tens for step in STEPS if step * 10**tens > first[-1])

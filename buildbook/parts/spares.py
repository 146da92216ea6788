"""How many more are bought than fitted: for failures on the bench, and for the spares box."""

from __future__ import annotations

from math import ceil

from buildbook.parts.keys import area_mm2

FAILURES: dict[str, tuple[float, float]] = {
    "wire": (0.10, 0.0),
    "cable": (0.10, 0.0),
    "terminal": (0.05, 2),
    "seal": (0.05, 2),
    "splice": (0.05, 1),
    "end": (0.05, 1),
    "blank": (0.05, 1),
    "label": (0.10, 2),
    "tie": (0.10, 5),
    "sleeve": (0.15, 0.0),
    "heat-shrink": (0.15, 0.0),
    "tape": (0.15, 0.0),
}
"""Kind of need -> share bought beside it, and the least. Crimps that fail the pull or look,
wrong cuts, braid that shortens as it widens. Common practice, no source."""

LARGE_LUG_MM2 = 10.0
"""From here a lug is dear and its crimp is pressed once: one more is bought, not two."""

CARRIED: dict[str, float] = {
    "fuse blade": 2,
    "fuse mini": 2,
    "fuse": 1,
    "relay": 1,
    "splice": 2,
    "tie": 10,
    "end": 1,
}
"""Kind of need, or kind and family -> pieces of each in the spares box: of every fuse at least
one, of the small ones, which blow, two. Common practice, no source."""


def failures(key: str, quantity: float, unit: str) -> float:
    """What is bought beside `quantity` because some of it goes wrong."""
    kind = key.partition(" ")[0]
    share, least = FAILURES.get(kind, (0.0, 0.0))
    if kind == "terminal" and area_mm2(key) >= LARGE_LUG_MM2:
        least = 1
    more = max(share * quantity, least)
    return round(more, 3) if unit == "m" else float(ceil(more - 1e-9))


def carried(key: str) -> float:
    """Pieces that go into the spares box where the author says nothing."""
    words = key.split(" ")
    return CARRIED.get(" ".join(words[:2]), CARRIED.get(words[0], 0))

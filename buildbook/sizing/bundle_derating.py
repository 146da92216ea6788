"""Wires side by side warm each other: the share of its own current that each may carry."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

NEIGHBOUR_HEAT = 0.42
"""Part of a loaded wire's own rise that each other loaded wire adds to it. Fitted to 90 readings
off the bundle chart of MIL-W-5088L (2 to 19 wires, 20 to 100 percent loaded), all within 2
percent; AC 43.13-1B, figure 11-5, is the same chart."""
LOADED_SHARE = 0.6
"""Wires of a bundle taken as carrying their full current at once, on the safe side."""
FULL_BUNDLE = 33
"""AC 43.13-1B, table 11-9: more wires than this make it no worse."""


def bundle_factor(count: int, loaded_share: float = LOADED_SHARE) -> float:
    """Share of the free-air current that each of `count` wires in a bundle may carry.

    Each other wire adds the same part of its heat, times the share of the bundle's capacity in
    use, to a wire's rise: I2 (1 + k (n - 1) s) stays the same.
    """
    others = max(min(count, FULL_BUNDLE) - 1, 0)
    return 1 / math.sqrt(1 + NEIGHBOUR_HEAT * others * loaded_share)


bundle_factor = lru_cache(maxsize=4096)(bundle_factor)


def loaded_share(loads: Iterable[tuple[float, float]]) -> float:
    """Share of a bundle's capacity in use: amps over free-air amps, each summed over its wires.

    The measure of AC 43.13-1B, 11-69. A bundle without capacity counts as fully loaded.
    """
    pairs = list(loads)
    room = math.fsum(free_a for _, free_a in pairs)
    return min(1.0, math.fsum(abs(amps) for amps, _ in pairs) / room) if room > 0 else 1.0

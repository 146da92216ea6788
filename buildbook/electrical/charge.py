"""How long a battery lasts, and how long the alternator takes to fill it again."""

from __future__ import annotations

import math

RATED_H = 20.0
"""Hours over which starter batteries are rated: C20 of EN 50342-1."""
PEUKERT = 1.2
"""Exponent of a starter battery with liquid acid; 1.1 to 1.3 is usual (from memory)."""
USABLE = 0.5
"""Share of the capacity that still leaves a start: common practice, no source."""
EFFICIENCY = 0.85
"""Share of the charge put in that a lead-acid battery gives back (from memory)."""
ACCEPTS_PER_H = 0.25
"""Share of the capacity an hour that a half-empty lead-acid battery takes: common practice."""


def hours_to_flat(
    capacity_ah: float,
    current_a: float,
    usable: float = 1.0,
    peukert: float = PEUKERT,
    rated_h: float = RATED_H,
) -> float:
    """Hours until a share `usable` of a full battery is gone; endless where nothing is drawn.

    Peukert (1897): t = H (C / (I H))^k for a capacity C rated over H hours. Below the rated
    current a battery gives no more than its rated capacity, so there t = C / I.
    """
    if current_a <= 0:
        return math.inf
    slowly = capacity_ah / current_a
    hard = current_a * rated_h > capacity_ah
    full_h = rated_h * (capacity_ah / (current_a * rated_h)) ** peukert if hard else slowly
    return usable * full_h


def hours_to_recharge(
    missing_ah: float, spare_a: float, accepts_a: float, efficiency: float = EFFICIENCY
) -> float:
    """Hours to put `missing_ah` back with what the alternator has to spare.

    The battery takes at most `accepts_a` and gives back a share `efficiency` of what goes in.
    The last tenth fills slower than this as the current tapers. Endless where nothing is spare.
    """
    into_a = min(spare_a, accepts_a)
    return missing_ah / (into_a * efficiency) if into_a > 0 else math.inf

"""Short-circuit withstand: heat that has no time to leave the copper (IEC 60364-5-54)."""

from __future__ import annotations

import math

from buildbook.catalogue.copper import (
    FROM_ZERO_TO_REFERENCE_C,
    J_PER_M3_K,
    OHM_MM_20C,
    ZERO_RESISTANCE_C,
)

COPPER_K2 = J_PER_M3_K / 1e9 * FROM_ZERO_TO_REFERENCE_C / OHM_MM_20C
"""50 927 A2 s/mm4: what k2 of copper is a logarithm of temperatures times (IEC 60364-5-54,
annex A)."""
LONGEST_S = 5.0
"""The equation holds up to here (IEC 60364-4-43, 434.5.2; from memory): beyond it, the heat
that leaves makes it too severe, not unsafe."""


def k_factor(initial_c: float, final_c: float) -> float:
    """A s^0.5/mm2 between two temperatures: k2 = Qc (B + 20) / r20 ln((B + Tf) / (B + Ti)).

    Thermoplastic PVC: 143 for 30 to 160 degC (a conductor of its own, cold), 115 for 70 to 160
    (one that was carrying its full load).
    """
    if final_c <= initial_c:
        return 0.0
    warming = math.log((ZERO_RESISTANCE_C + final_c) / (ZERO_RESISTANCE_C + initial_c))
    return math.sqrt(COPPER_K2 * warming)


def withstand_a(area_mm2: float, k: float, time_s: float) -> float:
    """Current that a conductor stands for a time, A: I = k S / t^0.5."""
    return k * area_mm2 / math.sqrt(time_s)


def withstand_s(area_mm2: float, k: float, current_a: float) -> float:
    """Time that a conductor stands a current, s: t = (k S / I)2."""
    return (k * area_mm2 / current_a) ** 2 if current_a else math.inf


def least_mm2(k: float, current_a: float, time_s: float) -> float:
    """Smallest copper that stands a current for a time, mm2: S = I t^0.5 / k."""
    return current_a * math.sqrt(time_s) / k

"""Thinner air carries less heat away: pressure by height and what it costs a wire."""

from __future__ import annotations

import math
from functools import lru_cache

SEA_LEVEL_K = 288.15
LAPSE_K_PER_M = 0.0065
PRESSURE_POWER = 5.25588
TROPOPAUSE_M = 11000.0
STRATOSPHERE_M = 6341.6
"""Height over which pressure falls to 1/e above 11 km. All five: ISO 2533 (memory)."""
CHART_M = 20000 * 0.3048
CHART_FACTOR = 0.91
"""AC 43.13-1B, figure 11-6, read off in its worked example: 0.91 at 20 000 ft."""


def pressure_ratio(altitude_m: float) -> float:
    """Air pressure against that at sea level (ISO 2533, standard atmosphere)."""
    climbed = min(max(altitude_m, 0.0), TROPOPAUSE_M)
    ratio: float = (1 - LAPSE_K_PER_M * climbed / SEA_LEVEL_K) ** PRESSURE_POWER
    return ratio * math.exp(-max(altitude_m - TROPOPAUSE_M, 0.0) / STRATOSPHERE_M)


def convected_share() -> float:
    """Share of a wire's heat that the air takes, so that the chart's point comes out."""
    return (1 - CHART_FACTOR**2) / (1 - math.sqrt(pressure_ratio(CHART_M)))


CONVECTED_SHARE = convected_share()
"""0.53: the air takes about half of the heat, radiation the rest."""


def altitude_factor(altitude_m: float) -> float:
    """Share of the sea-level current that a wire may carry at a height.

    Heat goes as current squared. Radiation stays; laminar free convection falls with the root of
    pressure (Nu ~ Ra^1/4). The one free constant is fitted to the chart of AC 43.13-1B.
    """
    lost = CONVECTED_SHARE * (1 - math.sqrt(pressure_ratio(altitude_m)))
    return math.sqrt(1 - lost)


altitude_factor = lru_cache(maxsize=64)(altitude_factor)

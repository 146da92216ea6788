"""Lead-acid batteries by temperature and charge: open-circuit volts, cranking ohms, capacity."""

from __future__ import annotations

import numpy as np

Points = tuple[tuple[float, float], ...]

OPEN_V = (11.89, 12.06, 12.24, 12.45, 12.65)
"""At rest at 27 degC by quarters of the charge, of six cells with liquid acid (Battery Council
International's table, from memory; 12.66 and 12.45 V for all and three quarters were read)."""
OPEN_AT_C, OPEN_V_PER_K = 27.0, 0.0013
"""Of six cells, by temperature (0.2 mV a cell and kelvin, from memory)."""
COLD_C, COLD_V = -18.0, 7.2
"""SAE J537: a full battery gives its cold cranking current for 30 s at -18 degC, 1.2 V a cell."""
CRANKING_AMPS: Points = ((-18.0, 0.69), (0.0, 0.8625), (27.0, 1.0))
"""Current at 7.2 V by temperature, degC, of that at 27 degC: hot cranking current x 0.69 = cold
cranking current = cranking current at 0 degC x 0.8 (trade conversions, from memory)."""
CAPACITY_SHARE: Points = ((-18.0, 0.40), (0.0, 0.75), (25.0, 1.0))
"""Capacity left by temperature, degC (40 percent at -18 read, at 0 from memory)."""
FLAT_TIMES = 2.0
"""Inner ohms of an empty battery, of a full one (from memory)."""


def open_circuit_v(charge: float, celsius: float = OPEN_AT_C, nominal_v: float = 12.0) -> float:
    """Volts at rest for a share of charge (0 to 1) and a temperature, degC."""
    full = float(np.interp(charge, (0.0, 0.25, 0.5, 0.75, 1.0), OPEN_V))
    return (full + OPEN_V_PER_K * (celsius - OPEN_AT_C)) * nominal_v / 12.0


def cold_ohms(cold_a: float, nominal_v: float = 12.0) -> float:
    """Inner ohms at -18 degC, full, from its cold cranking current, A.

    Its open-circuit volts less those at which the rating was taken.
    """
    return (open_circuit_v(1.0, COLD_C, nominal_v) - COLD_V * nominal_v / 12.0) / cold_a


def ohms_at(ohms_27_c: float, celsius: float, charge: float = 1.0) -> float:
    """Inner ohms at a temperature and a share of charge, from those at 27 degC when full.

    The current at which the posts stand at the same volts falls as the ohms rise.
    """
    emptier = 1 + (FLAT_TIMES - 1) * (1 - charge)
    return ohms_27_c * emptier / cranking_share(celsius)


def warm_ohms(cold_a: float, nominal_v: float = 12.0) -> float:
    """Inner ohms at 27 degC, full, from the cold cranking current, A."""
    return cold_ohms(cold_a, nominal_v) * cranking_share(COLD_C)


def cranking_share(celsius: float) -> float:
    """Share of its cranking current at 27 degC that a battery gives at a temperature, degC."""
    return _between(celsius, CRANKING_AMPS)


def capacity_share(celsius: float) -> float:
    """Share of its capacity at 25 degC that a battery has at a temperature."""
    return _between(celsius, CAPACITY_SHARE)


def _between(celsius: float, points: Points) -> float:
    """Straight between the points, and as at the last beyond them."""
    degrees, shares = zip(*points, strict=True)
    return float(np.interp(celsius, degrees, shares))

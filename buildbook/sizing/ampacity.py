"""What a conductor carries for ever: in free air, in a bundle, in thin air; how warm it gets."""

from __future__ import annotations

import math
from functools import lru_cache

from buildbook.catalogue.model import Conductor
from buildbook.sizing.altitude_derating import altitude_factor
from buildbook.sizing.bundle_derating import LOADED_SHARE, bundle_factor
from buildbook.sizing.heat_balance import heat_w_per_m, resistance_ratio


def free_air_a(conductor: Conductor, conductor_c: float, ambient_c: float) -> float:
    """Current that holds a single wire in still air at a conductor temperature, A."""
    ohm_per_m = conductor.ohm_per_m_20c * resistance_ratio(conductor_c)
    return math.sqrt(heat_w_per_m(conductor, conductor_c, ambient_c) / ohm_per_m)


free_air_a = lru_cache(maxsize=20000)(free_air_a)


def ampacity_a(
    conductor: Conductor,
    rated_c: float,
    ambient_c: float,
    bundle: int,
    altitude_m: float,
    loaded_share: float = LOADED_SHARE,
) -> float:
    """Continuous current in a bundle of `bundle` wires with the conductor at `rated_c`, A."""
    single = free_air_a(conductor, rated_c, ambient_c)
    return single * bundle_factor(bundle, loaded_share) * altitude_factor(altitude_m)


def conductor_c(current_a: float, ampacity: float, rated_c: float, ambient_c: float) -> float:
    """Temperature of a loaded conductor (AC 43.13-1B, 11-66): T1 + (TR-T1) sqrt(I2/Imax)."""
    if ampacity <= 0:
        return ambient_c
    return ambient_c + (rated_c - ambient_c) * math.sqrt(abs(current_a) / ampacity)

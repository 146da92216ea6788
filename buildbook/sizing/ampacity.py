"""What a conductor carries: heat balance in still air, bundle, altitude, overload in time."""

from __future__ import annotations

import math
from functools import lru_cache

from buildbook.catalogue.model import Conductor

INSULATION_W_PER_M_K = 0.19
"""Conductivity of PVC and cross-linked polyethylene, the lower end (memory)."""
EMISSIVITY = 0.9
"""Of any dull plastic surface (memory)."""
STEFAN_BOLTZMANN = 5.670e-8
COPPER_J_PER_M3_K = 3.45e6
"""Heat capacity by volume: 8890 kg/m3 at 388 J/(kg K) (memory)."""
STRAND_FILL = 0.75
"""Copper in the circle that a stranded conductor fills (memory)."""
BUNDLE_POWER = -0.326
LOADED_SHARE = 0.6
"""Wires of a bundle taken as carrying their full current at once, on the safe side."""
FULL_BUNDLE = 33
"""AC 43.13-1B, table 11-9: more wires than this make it no worse."""
ALTITUDE_LOSS_PER_M = 0.09 / 6096
"""AC 43.13-1B, figure 11-6: a factor of 0.91 at 20 000 ft."""


def resistance_ratio(temperature_c: float) -> float:
    """Copper's resistance against that at 20 degC (AC 43.13-1B, 11-66: 234.5 degC rule)."""
    return (234.5 + temperature_c) / 254.5


def bundle_factor(count: int, loaded_share: float = LOADED_SHARE) -> float:
    """Share of the free-air current that each of `count` wires in a bundle may carry.

    A power law of the loaded wires through AC 43.13-1B's worked point (8 wires, 60 percent
    loaded: 0.6); it also gives that circular's table 11-9 (33 wires, 20 percent) to a tenth.
    """
    return max(1.0, min(count, FULL_BUNDLE) * loaded_share) ** BUNDLE_POWER


def altitude_factor(altitude_m: float) -> float:
    """Share of the sea-level current in thinner air (AC 43.13-1B, figure 11-6)."""
    return 1 - ALTITUDE_LOSS_PER_M * max(0.0, altitude_m)


def _film_w_per_m2_k(diameter_m: float, surface_c: float, ambient_c: float) -> float:
    """Convection and radiation of a level cylinder (Churchill and Chu 1975, from memory)."""
    film_k = (surface_c + ambient_c) / 2 + 273.15
    rise = max(surface_c - ambient_c, 0.01)
    conductivity = 0.0257 * (film_k / 293.15) ** 0.85
    viscosity = 1.51e-5 * (film_k / 293.15) ** 1.75
    prandtl = 0.71
    rayleigh = 9.81 * rise / film_k * diameter_m**3 / viscosity**2 * prandtl
    nusselt = (
        0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    ) ** 2
    surface_k, ambient_k = surface_c + 273.15, ambient_c + 273.15
    radiation = EMISSIVITY * STEFAN_BOLTZMANN * (surface_k + ambient_k)
    return nusselt * conductivity / diameter_m + radiation * (surface_k**2 + ambient_k**2)


@lru_cache(maxsize=20000)
def heat_w_per_m(conductor: Conductor, conductor_c: float, ambient_c: float) -> float:
    """Heat that a metre sheds to still air with the conductor at a temperature, W/m."""
    if conductor_c <= ambient_c:
        return 0.0
    outside_m = conductor.outside_mm / 1000
    copper_m = math.sqrt(4 * conductor.area_mm2 / STRAND_FILL / math.pi) / 1000
    wall = math.log(max(outside_m / copper_m, 1.02)) / (2 * math.pi * INSULATION_W_PER_M_K)
    low, high = ambient_c, conductor_c
    for _ in range(40):
        surface = (low + high) / 2
        film = _film_w_per_m2_k(outside_m, surface, ambient_c)
        if math.pi * outside_m * film * (surface - ambient_c) > (conductor_c - surface) / wall:
            high = surface
        else:
            low = surface
    return (conductor_c - (low + high) / 2) / wall


@lru_cache(maxsize=20000)
def free_air_a(conductor: Conductor, conductor_c: float, ambient_c: float) -> float:
    """Current that holds a single wire in still air at a conductor temperature, A."""
    ohm_per_m = conductor.ohm_per_m_20c * resistance_ratio(conductor_c)
    return math.sqrt(heat_w_per_m(conductor, conductor_c, ambient_c) / ohm_per_m)


def ampacity_a(
    conductor: Conductor, rated_c: float, ambient_c: float, bundle: int, altitude_m: float
) -> float:
    """Continuous current in a bundle of `bundle` wires with the conductor at `rated_c`, A."""
    single = free_air_a(conductor, rated_c, ambient_c)
    return single * bundle_factor(bundle) * altitude_factor(altitude_m)


def conductor_c(current_a: float, ampacity: float, rated_c: float, ambient_c: float) -> float:
    """Temperature of a loaded conductor (AC 43.13-1B, 11-66): T1 + (TR-T1) sqrt(I2/Imax)."""
    if ampacity <= 0:
        return ambient_c
    return ambient_c + (rated_c - ambient_c) * math.sqrt(abs(current_a) / ampacity)


@lru_cache(maxsize=20000)
def overload_a(conductor: Conductor, limit_c: float, ambient_c: float, time_s: float) -> float:
    """Current that brings a cold-started wire to `limit_c` in `time_s`, A.

    One lump of copper that sheds heat as at `limit_c`: T = Ta + dT (1 - exp(-t / tau)). For
    short times it becomes the adiabatic limit I2 t = k2 A2. The insulation's own heat
    capacity is left out, on the safe side.
    """
    shed = heat_w_per_m(conductor, limit_c, ambient_c) / max(limit_c - ambient_c, 1e-9)
    store = conductor.area_mm2 * 1e-6 * COPPER_J_PER_M3_K
    rise = limit_c - ambient_c
    if rise <= 0:
        return 0.0
    heat = rise * shed / -math.expm1(-time_s * shed / store)
    return math.sqrt(heat / (conductor.ohm_per_m_20c * resistance_ratio(limit_c)))

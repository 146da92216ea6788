"""Heat balance of one insulated conductor in still air."""

from __future__ import annotations

import math
from functools import lru_cache

from buildbook.catalogue.copper import (
    FROM_ZERO_TO_REFERENCE_C,
    J_PER_M3_K,
    STRAND_FILL,
    ZERO_RESISTANCE_C,
)
from buildbook.catalogue.model import Conductor

INSULATION_W_PER_M_K = 0.19
"""Conductivity of PVC and cross-linked polyethylene, the lower end (memory)."""
EMISSIVITY = 0.9
"""Of any dull plastic surface (memory)."""
STEFAN_BOLTZMANN = 5.670e-8
HALVINGS = 40
"""They leave 1e-12 of the degrees between a conductor and the air."""
THINNEST_WALL = 1.02
"""Outside against copper diameter of a wire whose catalogue row leaves it no wall."""
GRAVITY = 9.81
PRANDTL = 0.71
AIR_K = 293.15
AIR_W_PER_M_K = 0.0257
AIR_M2_PER_S = 1.51e-5
"""Prandtl number, conductivity and kinematic viscosity of air at 20 degC and sea level; they
grow with the 0.85th and 1.75th power of the absolute temperature (memory)."""


def resistance_ratio(temperature_c: float) -> float:
    """Copper's resistance against that at 20 degC (AC 43.13-1B, 11-66: 234.5 degC rule)."""
    return (ZERO_RESISTANCE_C + temperature_c) / FROM_ZERO_TO_REFERENCE_C


def film_w_per_m2_k(diameter_m: float, surface_c: float, ambient_c: float) -> float:
    """Convection and radiation of a level cylinder (Churchill and Chu 1975, from memory)."""
    film_k = (surface_c + ambient_c) / 2 + 273.15
    rise = max(surface_c - ambient_c, 0.01)
    conductivity: float = AIR_W_PER_M_K * (film_k / AIR_K) ** 0.85
    viscosity: float = AIR_M2_PER_S * (film_k / AIR_K) ** 1.75
    rayleigh = GRAVITY * rise / film_k * diameter_m**3 / viscosity**2 * PRANDTL
    spread = (1 + (0.559 / PRANDTL) ** (9 / 16)) ** (8 / 27)
    nusselt: float = (0.60 + 0.387 * rayleigh ** (1 / 6) / spread) ** 2
    surface_k, ambient_k = surface_c + 273.15, ambient_c + 273.15
    radiation = EMISSIVITY * STEFAN_BOLTZMANN * (surface_k + ambient_k)
    return nusselt * conductivity / diameter_m + radiation * (surface_k**2 + ambient_k**2)


def wall_k_m_per_w(conductor: Conductor) -> float:
    """Resistance to heat of a metre of the insulation, K m/W."""
    copper_mm = math.sqrt(4 * conductor.area_mm2 / STRAND_FILL / math.pi)
    wall = math.log(max(conductor.outside_mm / copper_mm, THINNEST_WALL))
    return wall / (2 * math.pi * INSULATION_W_PER_M_K)


def heat_w_per_m(conductor: Conductor, conductor_c: float, ambient_c: float) -> float:
    """Heat that a metre sheds to still air with the conductor at a temperature, W/m.

    What the wall lets through falls as the surface warms, and what the air takes rises: they meet
    at one temperature between the air's and the conductor's.
    """
    if conductor_c <= ambient_c:
        return 0.0
    outside_m = conductor.outside_mm / 1000
    wall = wall_k_m_per_w(conductor)
    low, high = ambient_c, conductor_c
    for _ in range(HALVINGS):
        surface = (low + high) / 2
        film = film_w_per_m2_k(outside_m, surface, ambient_c)
        if math.pi * outside_m * film * (surface - ambient_c) > (conductor_c - surface) / wall:
            high = surface
        else:
            low = surface
    return (conductor_c - (low + high) / 2) / wall


heat_w_per_m = lru_cache(maxsize=20000)(heat_w_per_m)


def store_j_per_m_k(conductor: Conductor) -> float:
    """Heat that a metre of the copper takes up for each degree; the insulation's is left out."""
    return conductor.copper_mm2 * 1e-6 * J_PER_M3_K

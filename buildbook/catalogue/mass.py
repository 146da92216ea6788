"""Mass of a wire that no data sheet gives: its copper and a plain tube of insulation."""

from __future__ import annotations

import math

from buildbook.catalogue.copper import KG_PER_M3, STRAND_FILL

LAY = 1.02
"""Length of a strand over that of the wire: 2 percent (memory)."""
INSULATION_KG_PER_M3 = 1390
"""Flexible PVC (memory); polyethylene is lighter."""


def copper_kg_per_m(area_mm2: float) -> float:
    """Kilograms of copper in a metre of wire, from its conductor's area."""
    return area_mm2 * LAY * KG_PER_M3 * 1e-6


def insulated_kg_per_m(area_mm2: float, outside_mm: float) -> float:
    """Kilograms of a metre of wire, from its conductor's area and its outside diameter."""
    tube_mm2 = max(math.pi / 4 * outside_mm**2 - area_mm2 / STRAND_FILL, 0.0)
    return copper_kg_per_m(area_mm2) + tube_mm2 * INSULATION_KG_PER_M3 * 1e-6

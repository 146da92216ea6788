"""Sleeves and clamps by the diameter that they go around."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.catalogue.model import Clamp, Sleeve


def smallest_around(fittings: Iterable[Sleeve | Clamp], diameter_mm: float) -> str:
    """Id of the smallest fitting that goes around a bundle, or the bare size where none does."""
    fits = [f for f in fittings if f.largest_mm >= diameter_mm]
    if not fits:
        return f"over {diameter_mm:.0f} mm"
    return min(fits, key=lambda f: (f.largest_mm, f.smallest_mm)).id


def covered_mm(fittings: Iterable[Sleeve], chosen: str, diameter_mm: float) -> float:
    """Diameter of a bundle with its cover on; the bare one where the cover is not known."""
    wall = next((f.wall_mm for f in fittings if f.id == chosen), 0.0)
    return diameter_mm + 2 * wall

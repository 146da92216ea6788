"""Which sleeve, boot and clamp goes on a bundle and holds it tight."""

from __future__ import annotations

import math
from collections.abc import Iterable

from buildbook.catalogue.model import Boot, Clamp, Sleeve

DENSITY_KG_M3 = {"braided sleeve": 700.0, "heat-shrink": 1000.0, "tape": 900.0}
"""Of a cover as fitted: polyester of 1380 kg/m3 half open, polyolefin, cloth tape (memory)."""
ROPES_MM = (
    3.0,
    4.0,
    5.0,
    6.0,
    8.0,
    10.0,
    12.0,
    14.0,
    16.0,
    18.0,
    20.0,
    22.0,
    24.0,
    26.0,
    28.0,
    30.0,
    32.0,
    36.0,
    40.0,
    44.0,
    48.0,
)
"""Rope is sold in these diameters; trade sizes, memory."""


def fitting_sleeve(sleeves: Iterable[Sleeve], kind: str, around_mm: float) -> Sleeve | None:
    """The tightest sleeve of a kind that goes on over a bundle and closes down on it.

    None where every one is too tight to go on or too wide to close.
    """
    fits = [
        s
        for s in sleeves
        if s.kind == kind and s.smallest_mm - 1e-9 <= around_mm <= s.largest_mm + 1e-9
    ]
    return min(fits, key=lambda s: (s.largest_mm, s.id), default=None)


def fitting_clamp(clamps: Iterable[Clamp], around_mm: float) -> Clamp | None:
    """The smallest clamp that closes round a covered bundle, if one holds so thin or thick."""
    fits = [c for c in clamps if c.smallest_mm - 1e-9 <= around_mm <= c.largest_mm + 1e-9]
    return min(fits, key=lambda c: (c.largest_mm, c.id), default=None)


def fitting_boot(boots: Iterable[Boot], over_mm: float, onto_mm: float) -> Boot | None:
    """The smallest boot that goes on over a connector's shell and shrinks tight at both ends.

    Its wide end goes over `over_mm` and closes on it; its narrow end passes a bundle of
    `onto_mm` and closes on that.
    """
    fits = [
        b
        for b in boots
        if b.shell_smallest_mm <= over_mm <= b.shell_largest_mm
        and b.cable_smallest_mm <= onto_mm <= b.cable_largest_mm
    ]
    return min(fits, key=lambda b: (b.shell_largest_mm, b.cable_largest_mm, b.id), default=None)


def cover_kg_per_m(sleeve: Sleeve, bundle_mm: float) -> float:
    """Mass of a metre of cover: a tube of its wall round the bundle."""
    section_m2 = 1e-6 * math.pi * (bundle_mm + sleeve.wall_mm) * sleeve.wall_mm
    return DENSITY_KG_M3[sleeve.kind] * section_m2


def rope_mm(around_mm: float) -> float:
    """Rope that mocks a covered bundle up: the thinnest sold that is no thinner."""
    return next((size for size in ROPES_MM if size >= around_mm - 0.25), ROPES_MM[-1])

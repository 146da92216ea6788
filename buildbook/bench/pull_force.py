"""The pull that a crimp of each conductor size must stand."""

from __future__ import annotations

PULL_N = (
    (0.05, 6),
    (0.08, 11),
    (0.12, 15),
    (0.14, 18),
    (0.22, 28),
    (0.25, 32),
    (0.32, 40),
    (0.5, 60),
    (0.75, 85),
    (0.82, 90),
    (1.0, 108),
    (1.3, 135),
    (1.5, 150),
    (2.1, 200),
    (2.5, 230),
    (3.3, 275),
    (4.0, 310),
    (5.3, 355),
    (6.0, 360),
    (8.4, 370),
    (10.0, 380),
)
"""(mm2, newtons): tensile strength of crimped connections, IEC 60352-2, table 1 (from memory)."""
NEAR = 0.02
"""A conductor this share below a tabled size counts as that size: AWG areas are rounded."""


def pull_n(area_mm2: float) -> int | None:
    """Newtons for a conductor of this area, that of the next smaller tabled size; None outside."""
    held = [force for area, force in PULL_N if area <= area_mm2 * (1 + NEAR)]
    return held[-1] if held and area_mm2 <= PULL_N[-1][0] * (1 + NEAR) else None

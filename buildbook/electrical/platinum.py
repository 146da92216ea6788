"""Industrial platinum resistance thermometers of IEC 60751:2008 (alpha 0.00385)."""

from __future__ import annotations

from buildbook.electrical.span import Span

A, B, C = 3.9083e-3, -5.775e-7, -4.183e-12
"""Callendar-Van Dusen coefficients of IEC 60751, per K, K^2, K^4 (memory; they give its table)."""
RANGE_C = (-200.0, 850.0)
CLASSES = {"AA": (0.1, 0.0017), "A": (0.15, 0.002), "B": (0.3, 0.005), "C": (0.6, 0.01)}
"""Tolerance class -> kelvin at 0 degC, and kelvin a degree away from it (IEC 60751:2008, read)."""


def ohms_at(celsius: float, ohms: float = 100.0) -> float:
    """Resistance at a temperature of a thermometer of `ohms` at 0 degC (Pt100: 100)."""
    below = C * (celsius - 100) * celsius**3 if celsius < 0 else 0.0
    return ohms * (1 + A * celsius + B * celsius**2 + below)


def tolerance_k(celsius: float, grade: str) -> float:
    """Most that a thermometer of a tolerance class may be out at a temperature."""
    fixed, per_degree = CLASSES[grade]
    return fixed + per_degree * abs(celsius)


def span_at(celsius: float, ohms: float, grade: str) -> Span:
    """Resistance at a temperature between the limits of the tolerance class."""
    reach = tolerance_k(celsius, grade)
    return Span(
        ohms_at(celsius - reach, ohms), ohms_at(celsius, ohms), ohms_at(celsius + reach, ohms)
    )

"""Thermistors with a negative temperature coefficient: B value and Steinhart-Hart equation."""

from __future__ import annotations

import math
from collections.abc import Sequence

ZERO_C_K = 273.15

Coefficients = tuple[float, float, float]
"""A, B, C of 1/T = A + B ln R + C (ln R)^3, T in kelvin and R in ohms."""


def beta_k(first: tuple[float, float], second: tuple[float, float]) -> float:
    """B value in kelvin from two points (degC, ohms): ln(R1/R2) / (1/T1 - 1/T2), IEC 60539-1."""
    (one_c, one_ohm), (other_c, other_ohm) = first, second
    return math.log(one_ohm / other_ohm) / (1 / (one_c + ZERO_C_K) - 1 / (other_c + ZERO_C_K))


def ohms_by_beta(celsius: float, ohms: float, at_c: float, beta: float) -> float:
    """Resistance at a temperature of a part of `ohms` at `at_c` with the B value `beta` (K)."""
    return ohms * math.exp(beta * (1 / (celsius + ZERO_C_K) - 1 / (at_c + ZERO_C_K)))


def coefficients(points: Sequence[tuple[float, float]]) -> Coefficients:
    """Steinhart-Hart A, B, C through three points (degC, ohms).

    Steinhart and Hart, Deep-Sea Research 15 (1968) 497: two differences give C, then B and A.
    """
    logs = [math.log(ohms) for _, ohms in points]
    inverse = [1 / (celsius + ZERO_C_K) for celsius, _ in points]
    second = (inverse[1] - inverse[0]) / (logs[1] - logs[0])
    third = (inverse[2] - inverse[0]) / (logs[2] - logs[0])
    c = (third - second) / ((logs[2] - logs[1]) * math.fsum(logs))
    b = second - c * (logs[0] ** 2 + logs[0] * logs[1] + logs[1] ** 2)
    return inverse[0] - (b + c * logs[0] ** 2) * logs[0], b, c


def ohms_of(celsius: float, law: Coefficients) -> float:
    """Resistance at a temperature: Steinhart-Hart turned round, by Newton's steps on ln R."""
    a, b, c = law
    wanted = 1 / (celsius + ZERO_C_K)
    log = (wanted - a) / b
    for _ in range(100):
        step = (a + b * log + c * log**3 - wanted) / (b + 3 * c * log**2)
        log -= step
        if abs(step) < 1e-13:
            break
    return math.exp(log)

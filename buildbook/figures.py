"""Counts and measured values as messages say them."""

from __future__ import annotations

import math
from decimal import Decimal

ESTIMATE = "≈"
"""Beside a length that is an estimate, everywhere in the book."""
MOST_MM_M = 10.0
"""Metres from which a length is said in metres. Our choice."""


def counted(n: int, what: str) -> str:
    """'no clamps', '1 clamp', '2 clamps'."""
    return f"{n or 'no'} {what}" + ("" if n == 1 else "s")


def decimals(value: float, digits: int) -> str:
    """A number with so many decimals, and never a minus before nothing but zeros."""
    return f"{round(value, digits) + 0.0:.{digits}f}"


def significant(value: float, digits: int) -> str:
    """A number to so many significant digits, written out: '600', '0.021'."""
    return f"{Decimal(f'{value:.{digits}g}'):f}"


def length(metres: float) -> str:
    """A length as the trade says it: '860 mm', '12.5 m'."""
    if metres < MOST_MM_M:
        return f"{metres * 1000:.0f} mm"
    return f"{significant(metres, 4)} m"


def whole_mm(length_m: float) -> int:
    """A length to cut in millimetres, to the next whole one; a sum's last bits make no more."""
    return math.ceil(1000 * length_m - 1e-6)


def estimated(length_words: object, is_estimate: bool) -> str:
    """A length with the mark of an estimate where it is one: '220', '220 ≈'."""
    return f"{length_words} {ESTIMATE}" if is_estimate else str(length_words)

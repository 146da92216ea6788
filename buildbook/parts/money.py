"""Exact money: Decimal amounts, rounded half up to the hundredth where they are added up."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from math import fsum

from buildbook.words.say import mark

CENT = Decimal("0.01")
ROUNDING = mark(
    "Rounding: half up to the hundredth, once a line, once for carriage and once for the tax "
    "of an order, in the order's currency and again where it is changed into the vehicle's."
)


def amount(text: str | None) -> Decimal | None:
    """Decimal of a written price; None where it is missing, negative or not a number."""
    try:
        value = Decimal(text) if text is not None else None
    except InvalidOperation:
        return None
    return value if value is not None and value.is_finite() and value >= 0 else None


def rounded(value: Decimal) -> Decimal:
    """To the hundredth, half up."""
    return value.quantize(CENT, ROUND_HALF_UP)


def shared_out(cost: Decimal, weights: Mapping[str, float]) -> dict[str, Decimal]:
    """Split an amount in proportion to weights, to the hundredth, so that the parts add up.

    The hundredths that rounding down leaves over go to the largest remainders.
    """
    total = fsum(weights.values())
    if total <= 0:
        return {}
    exact = {
        key: cost * Decimal(repr(weight)) / Decimal(repr(total)) for key, weight in weights.items()
    }
    parts = {key: value.quantize(CENT, "ROUND_DOWN") for key, value in exact.items()}
    over = int((cost - sum(parts.values())) / CENT)
    for key in sorted(parts, key=lambda k: (parts[k] - exact[k], k))[:over]:
        parts[key] += CENT
    return parts

"""What to buy and what it costs."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class Need:
    """How much of one thing: `key` such as 'wire thin-wall 0.5 mm2 RD' or 'terminal pin-1.5'."""

    key: str
    what: str
    quantity: float
    unit: str
    """piece or m"""
    used_by: tuple[str, ...]
    """Harness or system ids."""


@dataclass(frozen=True)
class Line:
    """One line of the priced bill of materials; None prices are missing, not zero."""

    need: Need
    part: str
    what: str
    supplier: str
    packs: int
    pack: float
    pack_price: Decimal | None
    cost: Decimal | None


@dataclass(frozen=True)
class Bill:
    lines: tuple[Line, ...]
    net: Decimal
    carriage: Decimal
    tax: Decimal
    total: Decimal
    missing: tuple[str, ...]
    """Need keys that no priced part serves."""
    currency: str
    by_kind: dict[str, Decimal]

"""What can be bought, from whom, and what is there already."""

from __future__ import annotations

import datetime
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from buildbook.description.amounts import MassKg, Share, StockM
from buildbook.description.models.base import Alike, Money, Name, Section, Text, Title, as_list

MOST_PIECES = 1_000_000
"""Our choice."""


class Supplier(Section):
    name: Title
    """As it stands on the order."""
    address: Text = ""
    """As it stands on the order."""
    carriage: Money = "0"
    """Of one order, before tax, in the supplier's currency."""
    free_from: Money | None = None
    """Net of an order from which no carriage is asked."""
    smallest_order: Money | None = None
    """Net of the smallest order that is taken."""
    currency: Name | None = None
    """The vehicle's where it is not said."""
    tax: Share | None = None
    """The vehicle's where it is not said; 0 for a supplier abroad that charges none."""
    lead_days: int | None = Field(default=None, ge=0, le=3650)
    """From order to delivery."""


class Owned(Section):
    """Stock that is there already: pieces, or one length of wire or sleeve."""

    pieces: float = Field(default=0, ge=0, le=MOST_PIECES)
    """How many."""
    length: StockM | None = None
    """Of one piece."""
    colour: Name | None = None
    """Of wire."""


def _owned(value: Any) -> Any:
    """12 is pieces; '8 m' a length; '8 m RD' a length of red wire."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return {"pieces": float(value)}
    if not isinstance(value, str):
        return value
    words = value.split()
    if len(words) == 1:
        return {"pieces": value}
    coloured = len(words) > 2
    return {
        "length": " ".join(words[:-1] if coloured else words),
        "colour": words[-1] if coloured else None,
    }


class Part(Alike):
    """Something to buy; `serves` names the needs that it meets."""

    what: Title
    """As it stands on the order."""
    serves: Annotated[list[Name], BeforeValidator(as_list)] = []
    """Needs that it meets, as the chapter of parts lists them: `wire thin-wall 1 mm2`, `relay`."""
    supplier: Name | None = None
    """Who sells it."""
    price: Money | None = None
    """Of one pack, before tax, as decimal text."""
    pack: float = Field(default=1, ge=0.001, le=MOST_PIECES)
    """Pieces in a pack, or metres for wire and sleeving."""
    in_one_length: bool = False
    """Packs bought together come uncut: wire by the metre."""
    breaks: dict[Annotated[int, Field(le=MOST_PIECES)], Money] = {}
    """Packs -> price of each pack from that many on: {5: 8.40, 20: 7.90}."""
    at_least: int = Field(default=1, gt=0, le=100_000)
    """Fewest packs that the supplier sells."""
    currency: Name | None = None
    """The supplier's where it is not said."""
    lead_days: int | None = Field(default=None, ge=0, le=3650)
    """Of this part, where it differs from its supplier's."""
    dated: datetime.date | None = None
    """When the price was asked for."""
    owned: Annotated[list[Annotated[Owned, BeforeValidator(_owned)]], BeforeValidator(as_list)] = []
    """What is there already: `12` pieces, `8 m`, `8 m RD`."""
    substitutes: Annotated[list[Name], BeforeValidator(as_list)] = []
    """Parts that may be bought in its place."""
    carry: int | None = Field(default=None, ge=0, le=MOST_PIECES)
    """Pieces in the spares box; a rule by kind where it is not said."""
    mass: MassKg | None = None
    """Of one piece, or of one metre."""

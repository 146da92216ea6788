"""What a pack costs: its steps, currency, age and tax."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from buildbook.description import models as written
from buildbook.parts.money import amount

LONGEST_PRICE_DAYS = 365
"""A price asked for longer before the revision than this is asked for again. Common practice, no
source."""


def currency_of(part: written.Part, description: written.Description) -> str:
    """The part's own currency, its supplier's, or the vehicle's."""
    supplier = description.suppliers.get(part.supplier or "")
    return part.currency or supplier_currency(supplier, description)


def supplier_currency(supplier: written.Supplier | None, description: written.Description) -> str:
    """The currency of a supplier's orders."""
    return (supplier.currency if supplier else None) or description.vehicle.currency


def rate(currency: str, description: written.Description) -> Decimal:
    """What one unit of a currency costs in the vehicle's; 1 for its own."""
    if currency == description.vehicle.currency:
        return Decimal(1)
    return amount(description.vehicle.rates.get(currency)) or Decimal(1)


def prices(part: written.Part) -> tuple[tuple[int, Decimal], ...]:
    """(packs, price of each) from the fewest packs that are sold up; () without a price."""
    first = amount(part.price)
    if first is None:
        return ()
    steps = {part.at_least: first}
    for count, text in sorted(part.breaks.items()):
        price = amount(text)
        if price is not None:
            steps[max(count, part.at_least)] = price
    return tuple(sorted(steps.items()))


def price_at(steps: Sequence[tuple[int, Decimal]], packs: int) -> Decimal:
    """Price of each of so many packs, which are no fewer than are sold."""
    return [price for count, price in steps if count <= packs][-1]


def is_old(dated: date | None, today: date) -> bool:
    """Whether a price has no date, or one more than a year before the revision's."""
    return dated is None or (today - dated).days > LONGEST_PRICE_DAYS


def tax_share(supplier: written.Supplier | None, description: written.Description) -> Decimal:
    """The supplier's share of tax where it says one, else the vehicle's."""
    said = supplier.tax if supplier else None
    return Decimal(str(description.vehicle.tax if said is None else said))

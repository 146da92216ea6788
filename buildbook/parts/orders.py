"""Orders by supplier: net, carriage and tax, in the supplier's currency and the vehicle's."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from buildbook.description import models as written
from buildbook.parts.model import BillLine, Order, Sums
from buildbook.parts.money import amount, rounded
from buildbook.parts.prices import rate, supplier_currency, tax_share

NOTHING = Sums(Decimal(0), Decimal(0), Decimal(0))


def orders_of(lines: Iterable[BillLine], description: written.Description) -> tuple[Order, ...]:
    """One order a supplier, in the order of the description; lines without one come last."""
    bought = [line for line in lines if line.packs]
    names = [*description.suppliers, ""]
    return tuple(
        _order(name, mine, description)
        for name in names
        if (mine := tuple(line for line in bought if line.supplier == name))
    )


def _order(name: str, lines: tuple[BillLine, ...], description: written.Description) -> Order:
    supplier = description.suppliers.get(name)
    prices = [line.asked for line in lines if line.asked is not None]
    currency = supplier_currency(supplier, description)
    change = rate(currency, description)
    share = tax_share(supplier, description)
    net = sum(prices, Decimal(0))
    carriage = _carriage(supplier, net) if prices else Decimal(0)
    asked = Sums(net, carriage, rounded((net + carriage) * share))
    home = Sums(
        sum((line.cost for line in lines if line.cost is not None), Decimal(0)),
        rounded(carriage * change),
        rounded(asked.tax * change),
    )
    days = [line.lead_days for line in lines if line.lead_days is not None]
    return Order(
        name,
        lines,
        currency,
        change,
        asked,
        home,
        share,
        len(lines) - len(prices),
        max(days, default=None),
    )


def _carriage(supplier: written.Supplier | None, net: Decimal) -> Decimal:
    """What the supplier asks for sending the order; nothing from its free limit on."""
    if supplier is None:
        return Decimal(0)
    free = amount(supplier.free_from)
    if free is not None and net >= free:
        return Decimal(0)
    return amount(supplier.carriage) or Decimal(0)


def added(sums: Iterable[Sums]) -> Sums:
    """Sums of several orders in one currency."""
    total = NOTHING
    for one in sums:
        total = Sums(total.net + one.net, total.carriage + one.carriage, total.tax + one.tax)
    return total

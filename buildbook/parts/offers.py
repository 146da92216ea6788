"""Which parts may meet a need, what stock of them there is, and what their packs cost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from buildbook.description import models as written
from buildbook.parts.keys import keys_for
from buildbook.parts.model import Need, Stock
from buildbook.parts.money import amount

LONGEST_PRICE_DAYS = 365
"""A price asked for longer before the revision than this is asked for again. Common practice, no
source."""


def serving(need: Need, parts: dict[str, written.Part]) -> tuple[str, ...]:
    """Ids of the parts that serve a need closest, then their substitutes.

    A part that names the need itself goes before one that names a wider need.
    """
    for key in keys_for(need.key):
        found = [part_id for part_id, part in parts.items() if key in part.serves]
        if need.key.startswith("part ") and key in parts:
            found = [key, *(p for p in found if p != key)]
        if found:
            beside = [s for p in found for s in parts[p].substitutes if s in parts]
            return tuple(dict.fromkeys([*found, *beside]))
    return ()


def stands_in_for(part_id: str, need: Need, parts: dict[str, written.Part]) -> str:
    """The part that `part_id` is bought in place of; '' where it serves the need itself."""
    first = serving(need, parts)[0]
    if first == part_id or any(key in parts[part_id].serves for key in keys_for(need.key)):
        return ""
    return next((p for p in parts if part_id in parts[p].substitutes), "")


def currency_of(part: written.Part, description: written.Description) -> str:
    """The part's own currency, its supplier's, or the vehicle's."""
    supplier = description.suppliers.get(part.supplier or "")
    return part.currency or shop_currency(supplier, description)


def shop_currency(supplier: written.Supplier | None, description: written.Description) -> str:
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


def is_old(dated: date | None, today: date) -> bool:
    """Whether a price has no date, or one more than a year before the revision's."""
    return dated is None or (today - dated).days > LONGEST_PRICE_DAYS


@dataclass(frozen=True)
class Taking:
    """Stock that needs take: what is left to buy, and lengths to cut from."""

    taken: dict[str, float]
    """Need key -> pieces or metres taken from stock."""
    lengths: dict[str, tuple[tuple[float, str], ...]]
    """Need key -> owned lengths in m to cut from, each with its part."""
    stock: tuple[Stock, ...]


def take_stock(wanted: tuple[Need, ...], parts: dict[str, written.Part]) -> Taking:
    """Give owned pieces and lengths to the needs that their parts serve, in order of the keys.

    A length that has a colour goes to wire of that colour only.
    """
    taken: dict[str, float] = {}
    lengths: dict[str, tuple[tuple[float, str], ...]] = {}
    rows = []
    serves = {need.key: serving(need, parts) for need in wanted}
    for part_id, part in parts.items():
        if not part.owned:
            continue
        mine = [n for n in wanted if part_id in serves[n.key]]
        pieces = sum(stock.pieces for stock in part.owned)
        whole = tuple(sorted(stock.length for stock in part.owned if stock.length))
        used = 0.0
        for need in (n for n in mine if not n.pieces):
            there = pieces if need.unit == "piece" else sum(whole)
            more = min(need.wanted - taken.get(need.key, 0.0), there - used)
            if more > 0:
                taken[need.key] = taken.get(need.key, 0.0) + more
                used += more
        for need, length in _coloured(part, [n for n in mine if n.pieces]):
            lengths[need.key] = (*lengths.get(need.key, ()), (length, part_id))
        unit = "m" if whole else "piece"
        rows.append(Stock(part_id, part.what, sum(whole) or pieces, used, unit, whole))
    return Taking(taken, lengths, tuple(rows))


def _coloured(part: written.Part, wires: list[Need]) -> Iterator[tuple[Need, float]]:
    """Each owned length with the first need that may be cut from it."""
    for stock in part.owned:
        fits = [n for n in wires if not stock.colour or n.key.endswith(f" {stock.colour}")]
        if stock.length and fits:
            yield fits[0], stock.length


def with_carried(need: Need, parts: dict[str, written.Part], rule: float) -> Need:
    """The need with what its part says is carried, or the rule's number."""
    first = next((parts[p] for p in serving(need, parts)), None)
    said = first.carry if first else None
    return replace(need, carried=float(rule if said is None else said))

"""What is left to buy of each need after owned stock, and the offers that may meet it."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from buildbook.description import models as written
from buildbook.parts.buying import Offer, Shop, Want
from buildbook.parts.cutlists import packs_to_cut
from buildbook.parts.model import Need
from buildbook.parts.money import amount
from buildbook.parts.offers import (
    Taking,
    currency_of,
    prices,
    rate,
    serving,
    shop_currency,
)

UNMAPPED = "no part serves it"
TOO_SHORT = "no pack of its parts is as long as its longest piece"


@dataclass(frozen=True)
class Demand:
    """One need, what of it is there, and the parts that may be bought for the rest."""

    need: Need
    parts: tuple[str, ...]
    """Closest first; for wire only those whose packs are long enough to cut it from."""
    taken: float
    left: float
    packs: dict[str, int] = field(default_factory=dict)
    """Part -> packs to cut every piece from, where the need is cut from lengths."""
    lengths_m: tuple[float, ...] = ()
    """Owned lengths to cut from."""
    why_none: str = ""
    """Why no part can be bought for it."""

    @property
    def is_met(self) -> bool:
        """Whether owned stock meets it all."""
        if self.need.pieces and self.packs:
            return min(self.packs.values()) == 0
        return self.left <= 0 and not self.need.pieces


def demands(
    wanted: tuple[Need, ...], parts: dict[str, written.Part], taking: Taking
) -> tuple[Demand, ...]:
    """One demand a need, in the same order."""
    return tuple(_demand(need, parts, taking) for need in wanted)


def _demand(need: Need, parts: dict[str, written.Part], taking: Taking) -> Demand:
    found = serving(need, parts)
    taken = taking.taken.get(need.key, 0.0)
    left = round(need.wanted - taken, 3)
    why = "" if found else UNMAPPED
    if not need.pieces:
        return Demand(need, found, taken, left, why_none=why)
    lengths = tuple(length for length, _ in taking.lengths.get(need.key, ()))
    packs = {}
    for part in found:
        count = packs_to_cut(need, parts[part].pack, parts[part].in_one_length, lengths)
        if count is not None:
            packs[part] = count
    if found and not packs:
        why = TOO_SHORT
    fits = tuple(part for part in found if part in packs)
    return Demand(need, fits or found, 0.0, left, packs, lengths, why)


def priced(demand: Demand, parts: dict[str, written.Part]) -> tuple[str, ...]:
    """Parts of a demand that have a price."""
    if demand.why_none:
        return ()
    return tuple(part for part in demand.parts if prices(parts[part]))


def wants_and_offers(
    open_demands: tuple[Demand, ...], description: written.Description
) -> tuple[tuple[Want, ...], dict[str, Offer]]:
    """The buying of these demands, with every price in the vehicle's currency.

    Reels of one part in any colour count together towards its price breaks.
    """
    wants, offers = [], {}
    for demand in open_demands:
        mine = priced(demand, description.parts)
        for part_id in mine:
            part = description.parts[part_id]
            change = rate(currency_of(part, description), description)
            steps = tuple((count, price * change) for count, price in prices(part))
            offers[part_id] = Offer(part_id, part.supplier or "", part.pack, steps)
        packs = {p: n for p, n in demand.packs.items() if p in mine}
        wants.append(Want(demand.need.key, demand.left, mine, packs))
    return tuple(wants), offers


def shops(description: written.Description) -> dict[str, Shop]:
    """What every supplier asks beside its prices, in the vehicle's currency."""
    found = {"": Shop(tax=tax_share(None, description))}
    for name, supplier in description.suppliers.items():
        change = rate(shop_currency(supplier, description), description)
        free = amount(supplier.free_from)
        found[name] = Shop(
            (amount(supplier.carriage) or Decimal(0)) * change,
            None if free is None else free * change,
            (amount(supplier.smallest_order) or Decimal(0)) * change,
            tax_share(supplier, description),
        )
    return found


def tax_share(supplier: written.Supplier | None, description: written.Description) -> Decimal:
    """The supplier's share of tax where it says one, else the vehicle's."""
    said = supplier.tax if supplier else None
    return Decimal(str(description.vehicle.tax if said is None else said))

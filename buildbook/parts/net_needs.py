"""What is left to buy of each need after owned stock, and the offers that may meet it."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from buildbook.description import models as written
from buildbook.parts.choose_offers import Demand, Offer, SupplierTerms
from buildbook.parts.cutting_plans import is_cut_from, packs_to_cut
from buildbook.parts.model import Need
from buildbook.parts.money import amount
from buildbook.parts.prices import currency_of, prices, rate, supplier_currency, tax_share
from buildbook.parts.serving import serving
from buildbook.parts.stock import StockTaken
from buildbook.words.say import mark

UNMAPPED = mark("no part serves it")
TOO_SHORT = mark("no pack of its parts is as long as its longest piece")


@dataclass(frozen=True)
class NetNeed:
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
    """Why no part can be bought for it, in words that are said where they are printed."""
    is_on_reels: bool = False
    """Whether all is cut from owned lengths though no part can be bought for it."""

    @property
    def is_met(self) -> bool:
        """Whether owned stock meets it all."""
        if self.need.pieces and self.packs:
            return min(self.packs.values()) == 0
        return self.is_on_reels or self.left <= 0 and not self.need.pieces


def net_needs(
    wanted: tuple[Need, ...], parts: dict[str, written.Part], taking: StockTaken
) -> tuple[NetNeed, ...]:
    """One net need a need, in the same order."""
    return tuple(_net_need(need, parts, taking) for need in wanted)


def _net_need(need: Need, parts: dict[str, written.Part], taking: StockTaken) -> NetNeed:
    found = serving(need, parts)
    taken = taking.taken.get(need.key, 0.0)
    left = round(need.wanted - taken, 3)
    why = "" if found else UNMAPPED
    if not need.pieces:
        return NetNeed(need, found, taken, left, why_none=why)
    lengths = tuple(length for length, _ in taking.lengths.get(need.key, ()))
    packs = {}
    for part in found:
        count = packs_to_cut(need, parts[part].pack, parts[part].in_one_length, lengths)
        if count is not None:
            packs[part] = count
    if found and not packs:
        why = TOO_SHORT
    fits = tuple(part for part in found if part in packs)
    met = not packs and is_cut_from(need, lengths)
    return NetNeed(need, fits or found, 0.0, left, packs, lengths, why, met)


def priced(net: NetNeed, parts: dict[str, written.Part]) -> tuple[str, ...]:
    """Parts for what is left that have a price."""
    if net.why_none:
        return ()
    return tuple(part for part in net.parts if prices(parts[part]))


def demands_and_offers(
    unmet: tuple[NetNeed, ...], description: written.Description
) -> tuple[tuple[Demand, ...], dict[str, Offer]]:
    """The buying of what is left of these needs, with every price in the vehicle's currency.

    Reels of one part in any colour count together towards its price breaks.
    """
    demands: list[Demand] = []
    offers: dict[str, Offer] = {}
    for net in unmet:
        mine = priced(net, description.parts)
        for part_id in mine:
            part = description.parts[part_id]
            change = rate(currency_of(part, description), description)
            steps = tuple((count, price * change) for count, price in prices(part))
            offers[part_id] = Offer(part_id, part.supplier or "", part.pack, steps)
        packs = {p: n for p, n in net.packs.items() if p in mine}
        demands.append(Demand(net.need.key, net.left, mine, packs))
    return tuple(demands), offers


def supplier_terms(description: written.Description) -> dict[str, SupplierTerms]:
    """What every supplier asks beside its prices, in the vehicle's currency."""
    found = {"": SupplierTerms(tax=tax_share(None, description))}
    for name, supplier in description.suppliers.items():
        change = rate(supplier_currency(supplier, description), description)
        free = amount(supplier.free_from)
        found[name] = SupplierTerms(
            (amount(supplier.carriage) or Decimal(0)) * change,
            None if free is None else free * change,
            (amount(supplier.smallest_order) or Decimal(0)) * change,
            tax_share(supplier, description),
        )
    return found

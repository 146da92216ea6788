"""Chooses packs, price breaks and suppliers for the least total: a small integer programme."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from math import ceil

MOST_NODES = 50_000
"""Branches that the programme looks at before it takes the best so far."""

HAIR = 1e-6


@dataclass(frozen=True)
class Offer:
    """A pack on sale: `steps` are (packs, price of each from there on), fewest packs first."""

    id: str
    shop: str
    pack: float
    steps: tuple[tuple[int, Decimal], ...]


@dataclass(frozen=True)
class Shop:
    """What a supplier asks beside the prices, in the same currency as the offers."""

    carriage: Decimal = Decimal(0)
    free_from: Decimal | None = None
    smallest_order: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)


@dataclass(frozen=True)
class Want:
    """A quantity to be met by any of the offers named.

    `packs` says how many packs of an offer meet it alone, where the pieces have to be cut
    from them; then one offer meets it all.
    """

    key: str
    quantity: float
    offers: tuple[str, ...]
    packs: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Bought:
    """Packs of every offer bought, and how much of every want each offer meets."""

    packs: dict[str, int]
    met: dict[tuple[str, str], float]
    """(want key, offer id) -> quantity."""
    least: bool
    """False where the search ended before the least total was proven."""


def price_at(steps: Sequence[tuple[int, Decimal]], packs: int) -> Decimal:
    """Price of each of so many packs, which are no fewer than are sold."""
    return [price for count, price in steps if count <= packs][-1]


def buy(wants: Iterable[Want], offers: Mapping[str, Offer], shops: Mapping[str, Shop]) -> Bought:
    """Return the packs that meet every want for the least total with carriage and tax.

    All packs of an order cost what its break says. Every want has an offer. Where the search
    ends early, each want is met by whichever of its offers is cheapest alone.
    """
    wants = tuple(wants)
    named = {o for want in wants for o in want.offers}
    on_sale = {key: offer for key, offer in offers.items() if key in named}
    if not on_sale:
        return Bought({}, {}, True)
    programme = _Programme(wants, on_sale, shops)
    return programme.solved() or _one_by_one(wants, on_sale)


def most_packs(offer: Offer, quantity: float, packs: int, shop: Shop) -> int:
    """Packs beyond which no plan has a reason to go."""
    cheapest = min(price for _, price in offer.steps)
    for_order = [shop.smallest_order, shop.free_from or Decimal(0)]
    by_money = [ceil(sum_ / cheapest) for sum_ in for_order] if cheapest > 0 else [0]
    by_need = max(packs, ceil(quantity / offer.pack - HAIR))
    return max(by_need, offer.steps[-1][0], *by_money)


def _one_by_one(wants: tuple[Want, ...], offers: Mapping[str, Offer]) -> Bought:
    """Each want from the offer that is cheapest for it alone."""
    asked: dict[str, float] = {}
    met: dict[tuple[str, str], float] = {}

    def least(offer: Offer, want: Want) -> int:
        enough = want.packs.get(offer.id, ceil(want.quantity / offer.pack - HAIR))
        return max(enough, offer.steps[0][0])

    for want in wants:
        best = min(
            (offers[o] for o in want.offers),
            key=lambda o: price_at(o.steps, least(o, want)) * least(o, want),
        )
        met[want.key, best.id] = want.quantity
        share = want.packs.get(best.id, 0) or want.quantity / best.pack
        asked[best.id] = asked.get(best.id, 0.0) + share
    packs = {o: max(ceil(n - HAIR), offers[o].steps[0][0]) for o, n in asked.items()}
    return Bought(packs, met, False)


class _Programme:
    """The integer programme: columns with costs, rows with bounds, filled one after another."""

    def __init__(
        self, wants: tuple[Want, ...], offers: Mapping[str, Offer], shops: Mapping[str, Shop]
    ) -> None:
        self.wants, self.offers, self.shops = wants, offers, shops
        self.costs: list[float] = []
        self.upper: list[float] = []
        self.whole: list[int] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self.steps: dict[str, list[int]] = {}
        """Offer -> columns of packs, one a price break."""
        self.given: dict[tuple[str, str], int] = {}
        for offer in offers.values():
            self._offer(offer)
        for want in wants:
            self._want(want)
        for offer in offers.values():
            self._packs_hold(offer)
        for shop in sorted({offer.shop for offer in offers.values()}):
            self._shop(shop)

    def _column(self, cost: float, upper: float, whole: bool) -> int:
        self.costs.append(cost)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.costs) - 1

    def _offer(self, offer: Offer) -> None:
        """Packs bought at each break: none, or from the break's count on; one break a part."""
        shop = self.shops.get(offer.shop, Shop())
        mine = [w for w in self.wants if offer.id in w.offers]
        quantity = sum(w.quantity for w in mine)
        packs = sum(w.packs.get(offer.id, 0) for w in mine)
        most = most_packs(offer, quantity, packs, shop)
        gross = 1 + shop.tax
        columns = [self._column(float(p * gross), most, True) for _, p in offer.steps]
        self.steps[offer.id] = columns
        if offer.steps[0][0] <= 1 and len(columns) == 1:
            return
        chosen = [self._column(0.0, 1, True) for _ in columns]
        ends = [count - 1 for count, _ in offer.steps[1:]] + [most]
        for column, choice, (count, _), end in zip(columns, chosen, offer.steps, ends, strict=True):
            self.rows.append(({column: 1, choice: -count}, 0, float("inf")))
            self.rows.append(({column: 1, choice: -end}, -float("inf"), 0))
        self.rows.append((dict.fromkeys(chosen, 1.0), 0, 1))

    def _want(self, want: Want) -> None:
        """Met in full: by quantities from any offers, or cut wholly from the packs of one."""
        row = {}
        for offer in want.offers:
            column = self._column(0.0, 1 if want.packs else want.quantity, bool(want.packs))
            self.given[want.key, offer] = column
            row[column] = 1.0
        self.rows.append((row, 1 if want.packs else want.quantity, float("inf")))

    def _packs_hold(self, offer: Offer) -> None:
        row = {column: offer.pack for column in self.steps[offer.id]}
        for want in self.wants:
            if (want.key, offer.id) in self.given:
                share = want.packs[offer.id] * offer.pack if want.packs else 1.0
                row[self.given[want.key, offer.id]] = -share
        self.rows.append((row, 0, float("inf")))

    def _shop(self, shop_id: str) -> None:
        """Carriage if anything is bought, none from a sum on; no order below the smallest."""
        shop = self.shops.get(shop_id, Shop())
        if not shop.carriage and not shop.smallest_order:
            return
        gross = float((1 + shop.tax) * shop.carriage)
        used = self._column(gross, 1, True)
        net: dict[int, float] = {}
        for offer in self.offers.values():
            if offer.shop != shop_id:
                continue
            for column, (_, price) in zip(self.steps[offer.id], offer.steps, strict=True):
                net[column] = float(price)
                self.rows.append(({column: 1, used: -self.upper[column]}, -float("inf"), 0))
        if shop.smallest_order:
            self.rows.append(({**net, used: -float(shop.smallest_order)}, 0, float("inf")))
        if shop.free_from is not None and shop.carriage:
            free = self._column(-gross, 1, True)
            self.rows.append(({**net, free: -float(shop.free_from)}, 0, float("inf")))
            self.rows.append(({free: 1, used: -1}, -float("inf"), 0))

    def solved(self) -> Bought | None:
        """The packs of the best plan found; None where none was."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_matrix

        at = [
            (n, column, value)
            for n, (row, _, _) in enumerate(self.rows)
            for column, value in row.items()
        ]
        rows, columns, values = zip(*at, strict=True)
        shape = (len(self.rows), len(self.costs))
        held = LinearConstraint(
            coo_matrix((values, (rows, columns)), shape).tocsr(),
            [low for _, low, _ in self.rows],
            [high for _, _, high in self.rows],
        )
        found = milp(
            self.costs,
            integrality=self.whole,
            bounds=Bounds(0, self.upper),
            constraints=held,
            options={"mip_rel_gap": 0.0, "node_limit": MOST_NODES},
        )
        if found.x is None:
            return None
        packs = {
            offer: count
            for offer, mine in self.steps.items()
            if (count := round(sum(found.x[c] for c in mine)))
        }
        met = {pair: self._share(pair[0], found.x[column]) for pair, column in self.given.items()}
        plan = Bought(packs, {p: q for p, q in met.items() if q > HAIR}, found.status == 0)
        return plan if self._is_sound(plan) else None

    def _is_sound(self, plan: Bought) -> bool:
        """Whether the numbers, now whole, still meet every want: the solver works to a tolerance.

        Prices and packs of very different sizes can take it past that.
        """
        for offer in self.offers.values():
            mine = [w for w in self.wants if (w.key, offer.id) in plan.met]
            asked = sum(
                w.packs[offer.id] * offer.pack if w.packs else plan.met[w.key, offer.id]
                for w in mine
            )
            count = plan.packs.get(offer.id, 0)
            if 0 < count < offer.steps[0][0] or asked > count * offer.pack * (1 + HAIR) + HAIR:
                return False
        given = {w.key: sum(plan.met.get((w.key, o), 0.0) for o in w.offers) for w in self.wants}
        return all(given[w.key] >= w.quantity * (1 - HAIR) for w in self.wants)

    def _share(self, key: str, value: float) -> float:
        want = next(w for w in self.wants if w.key == key)
        return want.quantity * round(value) if want.packs else round(float(value), 6)

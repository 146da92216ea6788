"""Chooses packs, price breaks and suppliers for the least total: a small integer programme."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from math import ceil, isfinite

from buildbook.parts.prices import price_at

MOST_NODES = 50_000
"""Branches that the programme looks at before it takes the best so far."""

HAIR = 1e-6


@dataclass(frozen=True)
class Offer:
    """A pack on sale: `steps` are (packs, price of each from there on), fewest packs first."""

    id: str
    supplier: str
    pack: float
    steps: tuple[tuple[int, Decimal], ...]


@dataclass(frozen=True)
class SupplierTerms:
    """What a supplier asks beside the prices, in the same currency as the offers."""

    carriage: Decimal = Decimal(0)
    free_from: Decimal | None = None
    smallest_order: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)


@dataclass(frozen=True)
class Demand:
    """A quantity to be met by any of the offers named.

    `packs` says how many packs of an offer meet it alone, where the pieces have to be cut
    from them; then one offer meets it all.
    """

    key: str
    quantity: float
    offers: tuple[str, ...]
    packs: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Purchase:
    """Packs of every offer bought, and how much of every demand each offer meets."""

    packs: dict[str, int]
    met: dict[tuple[str, str], float]
    """(demand key, offer id) -> quantity."""
    gap: float | None
    """Share of the total that could at most be saved where the search ended early; 0 where the
    least total is proven, None where no bound is known."""


def choose_offers(
    demands: Iterable[Demand], offers: Mapping[str, Offer], terms: Mapping[str, SupplierTerms]
) -> Purchase:
    """Return the packs that meet every demand for the least total with carriage and tax.

    All packs of an order cost what its break says. Every demand has an offer. Where the search
    ends without a plan, each demand is met by whichever of its offers is cheapest alone, and
    orders are filled up to the smallest that their suppliers take.
    """
    demands = tuple(demands)
    named = {o for demand in demands for o in demand.offers}
    on_sale = {key: offer for key, offer in offers.items() if key in named}
    if not on_sale:
        return Purchase({}, {}, 0.0)
    programme = _Programme(demands, on_sale, terms)
    return programme.solved() or _one_by_one(demands, on_sale, terms)


def most_packs(offer: Offer, quantity: float, packs: int, terms: SupplierTerms) -> int:
    """Packs beyond which no plan has a reason to go."""
    cheapest = min(price for _, price in offer.steps)
    for_order = [terms.smallest_order, terms.free_from or Decimal(0)]
    by_money = [ceil(sum_ / cheapest) for sum_ in for_order] if cheapest > 0 else [0]
    by_need = max(packs, ceil(quantity / offer.pack - HAIR))
    return max(by_need, offer.steps[-1][0], *by_money)


def _one_by_one(
    demands: tuple[Demand, ...], offers: Mapping[str, Offer], terms: Mapping[str, SupplierTerms]
) -> Purchase:
    """Each demand from the offer that is cheapest for it alone."""
    asked: dict[str, float] = {}
    met: dict[tuple[str, str], float] = {}

    def least(offer: Offer, demand: Demand) -> int:
        enough = demand.packs.get(offer.id, ceil(demand.quantity / offer.pack - HAIR))
        return max(enough, offer.steps[0][0])

    for demand in demands:
        best = min(
            (offers[o] for o in demand.offers),
            key=lambda o: price_at(o.steps, least(o, demand)) * least(o, demand),
        )
        met[demand.key, best.id] = demand.quantity
        share = demand.packs.get(best.id, 0) or demand.quantity / best.pack
        asked[best.id] = asked.get(best.id, 0.0) + share
    packs = {o: max(ceil(n - HAIR), offers[o].steps[0][0]) for o, n in asked.items()}
    return Purchase(_filled_up(packs, offers, terms), met, None)


def _filled_up(
    packs: Mapping[str, int], offers: Mapping[str, Offer], terms: Mapping[str, SupplierTerms]
) -> dict[str, int]:
    """The packs, with more of the cheapest of each order that is under its supplier's smallest."""
    found = dict(packs)

    def price(offer: str) -> Decimal:
        return price_at(offers[offer].steps, found[offer])

    for supplier, asked in terms.items():
        ordered = [o for o in packs if offers[o].supplier == supplier]
        more_of = min((o for o in ordered if price(o)), key=price, default=None)
        while more_of is not None:
            lacking = asked.smallest_order - sum(price(o) * found[o] for o in ordered)
            if lacking <= 0:
                break
            found[more_of] += ceil(lacking / price(more_of))
    return found


def _known(gap: float | None) -> float | None:
    """The gap that the solver reports; None where it knows no bound yet."""
    return float(gap) if gap is not None and isfinite(gap) else None


class _Programme:
    """The integer programme: columns with costs, rows with bounds, filled one after another."""

    def __init__(
        self,
        demands: tuple[Demand, ...],
        offers: Mapping[str, Offer],
        terms: Mapping[str, SupplierTerms],
    ) -> None:
        self.demands, self.offers, self.terms = demands, offers, terms
        self.costs: list[float] = []
        self.upper: list[float] = []
        self.whole: list[int] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self.steps: dict[str, list[int]] = {}
        """Offer -> columns of packs, one a price break."""
        self.given: dict[tuple[str, str], int] = {}
        for offer in offers.values():
            self._offer(offer)
        for demand in demands:
            self._demand(demand)
        for offer in offers.values():
            self._packs_hold(offer)
        for supplier in sorted({offer.supplier for offer in offers.values()}):
            self._supplier(supplier)

    def _column(self, cost: float, upper: float, whole: bool) -> int:
        self.costs.append(cost)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.costs) - 1

    def _offer(self, offer: Offer) -> None:
        """Packs bought at each break: none, or from the break's count on; one break a part."""
        terms = self.terms.get(offer.supplier, SupplierTerms())
        mine = [w for w in self.demands if offer.id in w.offers]
        quantity = sum(w.quantity for w in mine)
        packs = sum(w.packs.get(offer.id, 0) for w in mine)
        most = most_packs(offer, quantity, packs, terms)
        gross = 1 + terms.tax
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

    def _demand(self, demand: Demand) -> None:
        """Met in full: by quantities from any offers, or cut wholly from the packs of one."""
        row = {}
        for offer in demand.offers:
            column = self._column(0.0, 1 if demand.packs else demand.quantity, bool(demand.packs))
            self.given[demand.key, offer] = column
            row[column] = 1.0
        self.rows.append((row, 1 if demand.packs else demand.quantity, float("inf")))

    def _packs_hold(self, offer: Offer) -> None:
        row = {column: offer.pack for column in self.steps[offer.id]}
        for demand in self.demands:
            if (demand.key, offer.id) in self.given:
                share = demand.packs[offer.id] * offer.pack if demand.packs else 1.0
                row[self.given[demand.key, offer.id]] = -share
        self.rows.append((row, 0, float("inf")))

    def _supplier(self, supplier: str) -> None:
        """Carriage if anything is bought, none from a sum on; no order below the smallest."""
        terms = self.terms.get(supplier, SupplierTerms())
        if not terms.carriage and not terms.smallest_order:
            return
        gross = float((1 + terms.tax) * terms.carriage)
        used = self._column(gross, 1, True)
        net: dict[int, float] = {}
        for offer in self.offers.values():
            if offer.supplier != supplier:
                continue
            for column, (_, price) in zip(self.steps[offer.id], offer.steps, strict=True):
                net[column] = float(price)
                self.rows.append(({column: 1, used: -self.upper[column]}, -float("inf"), 0))
        if terms.smallest_order:
            self.rows.append(({**net, used: -float(terms.smallest_order)}, 0, float("inf")))
        if terms.free_from is not None and terms.carriage:
            free = self._column(-gross, 1, True)
            self.rows.append(({**net, free: -float(terms.free_from)}, 0, float("inf")))
            self.rows.append(({free: 1, used: -1}, -float("inf"), 0))

    def solved(self) -> Purchase | None:
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
        gap = 0.0 if found.status == 0 else _known(found.mip_gap)
        plan = Purchase(packs, {p: q for p, q in met.items() if q > HAIR}, gap)
        return plan if self._is_sound(plan) else None

    def _is_sound(self, plan: Purchase) -> bool:
        """Whether the numbers, now whole, still meet every demand: the solver works to a tolerance.

        Prices and packs of very different sizes can take it past that.
        """
        for offer in self.offers.values():
            mine = [w for w in self.demands if (w.key, offer.id) in plan.met]
            asked = sum(
                w.packs[offer.id] * offer.pack if w.packs else plan.met[w.key, offer.id]
                for w in mine
            )
            count = plan.packs.get(offer.id, 0)
            if 0 < count < offer.steps[0][0] or asked > count * offer.pack * (1 + HAIR) + HAIR:
                return False
        given = {w.key: sum(plan.met.get((w.key, o), 0.0) for o in w.offers) for w in self.demands}
        return all(given[w.key] >= w.quantity * (1 - HAIR) for w in self.demands)

    def _share(self, key: str, value: float) -> float:
        demand = next(w for w in self.demands if w.key == key)
        return demand.quantity * round(value) if demand.packs else round(float(value), 6)

"""Buying: the integer programme against every combination tried out."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.parts.bill import make_bill
from buildbook.parts.choose_offers import (
    Demand,
    Offer,
    SupplierTerms,
    _Programme,
    choose_offers,
    most_packs,
)
from buildbook.parts.model import Need
from tests.checks import minimal as m

TENTHS = [Decimal(n) / 10 for n in range(20, 90)]


def supplier_terms(rng: random.Random) -> SupplierTerms:
    return SupplierTerms(
        Decimal(rng.choice([0, 4, 9])),
        Decimal(rng.choice([20, 30])) if rng.random() < 0.4 else None,
        Decimal(rng.choice([0, 0, 12])),
        Decimal(rng.choice(["0", "0.2"])),
    )


def offer(rng: random.Random, name: str) -> Offer:
    first = rng.choice(TENTHS)
    steps = [(rng.choice([1, 1, 2]), first)]
    if rng.random() < 0.6:
        steps.append((rng.randint(3, 5), first * Decimal("0.8")))
    return Offer(name, name[0], rng.choice([5, 10, 25]), tuple(steps))


def instance(seed: int):
    """One or two demands, each sold by one or both of two suppliers; one demand may be cut."""
    rng = random.Random(seed)
    terms = {name: supplier_terms(rng) for name in "ab"}
    offers, demands = {}, []
    for k in range(rng.randint(1, 2)):
        names = [f"{s}{k}" for s in "ab" if s == "a" or rng.random() < 0.8]
        offers |= {name: offer(rng, name) for name in names}
        quantity = rng.randint(1, 45)
        packs = {n: max(1, -(-quantity // int(offers[n].pack))) + rng.randint(0, 1) for n in names}
        demands.append(Demand(f"w{k}", quantity, tuple(names), packs if rng.random() < 0.3 else {}))
    return tuple(demands), offers, terms


def is_met(demand: Demand, packs: dict[str, int], offers: dict[str, Offer]) -> bool:
    if demand.packs:
        return any(packs[o] >= demand.packs[o] for o in demand.offers)
    return sum(offers[o].pack * packs[o] for o in demand.offers) >= demand.quantity


def cost(
    packs: dict[str, int], offers: dict[str, Offer], terms: dict[str, SupplierTerms]
) -> Decimal | None:
    """Cost of packs with carriage and tax, before rounding; None below a smallest order."""
    total = Decimal(0)
    for supplier in sorted({offers[o].supplier for o, n in packs.items() if n}):
        mine = [
            (offers[o].steps, n) for o, n in packs.items() if n and offers[o].supplier == supplier
        ]
        each = [next(p for count, p in reversed(steps) if count <= n) for steps, n in mine]
        net = sum((p * n for p, (_, n) in zip(each, mine, strict=True)), Decimal(0))
        asked = terms[supplier]
        if net < asked.smallest_order:
            return None
        free = asked.free_from is not None and net >= asked.free_from
        total += (net + (0 if free else asked.carriage)) * (1 + asked.tax)
    return total


def least_of_all(demands, offers, terms) -> Decimal:
    """Every number of packs of every offer, up to where no plan has a reason to go."""
    most = {
        o: most_packs(
            offer,
            sum(w.quantity for w in demands if o in w.offers),
            sum(w.packs.get(o, 0) for w in demands),
            terms[offer.supplier],
        )
        for o, offer in offers.items()
    }
    best = None
    for counts in itertools.product(*(range(most[o] + 1) for o in offers)):
        packs = dict(zip(offers, counts, strict=True))
        if any(0 < n < offers[o].steps[0][0] for o, n in packs.items()):
            continue
        if all(is_met(demand, packs, offers) for demand in demands):
            total = cost(packs, offers, terms)
            if total is not None and (best is None or total < best):
                best = total
    return best


@pytest.mark.parametrize("seed", range(60))
def test_costs_what_the_best_of_all_combinations_costs(seed):
    demands, offers, terms = instance(seed)
    bought = choose_offers(demands, offers, terms)
    packs = {o: bought.packs.get(o, 0) for o in offers}
    assert bought.gap == 0
    assert all(is_met(demand, packs, offers) for demand in demands)
    assert all(n == 0 or n >= offers[o].steps[0][0] for o, n in packs.items())
    assert cost(packs, offers, terms) == least_of_all(demands, offers, terms)


def price_file(demands, offers, terms):
    """The instance as a description: suppliers, and parts that serve the demands."""
    suppliers = {
        name: {
            "name": name,
            "carriage": str(s.carriage),
            "tax": float(s.tax),
            "smallest order": str(s.smallest_order),
            **({"free from": str(s.free_from)} if s.free_from is not None else {}),
        }
        for name, s in terms.items()
    }
    parts = {}
    for o in offers.values():
        (least, first), *more = o.steps
        parts[o.id] = {
            "what": o.id,
            "supplier": o.supplier,
            "pack": o.pack,
            "price": str(first),
            "at least": least,
            "breaks": {n: str(price) for n, price in more},
            "serves": [w.key for w in demands if o.id in w.offers],
        }
    return m.description(suppliers=suppliers, parts=parts)


@pytest.mark.parametrize("seed", range(100, 130))
def test_a_price_file_is_bought_from_at_the_least_total(seed):
    demands, offers, terms = instance(seed)
    demands = tuple(replace(demand, packs={}) for demand in demands)
    needs = tuple(Need(w.key, w.key, w.quantity, "piece") for w in demands)
    bill = make_bill(needs, price_file(demands, offers, terms))
    packs = {o: 0 for o in offers} | {line.part: line.packs for line in bill.lines}
    assert cost(packs, offers, terms) == least_of_all(demands, offers, terms)
    in_tax = Decimal("0.005") * len(bill.orders)
    assert abs(bill.total - cost(packs, offers, terms)) <= in_tax


def flat(name: str, price: str, pack: float = 1, **steps: str) -> Offer:
    more = tuple((int(k[1:]), Decimal(v)) for k, v in steps.items())
    return Offer(name, name[0], pack, ((1, Decimal(price)), *more))


def test_one_pack_more_is_bought_where_the_break_makes_it_cheaper():
    bought = choose_offers([Demand("w", 9, ("a",))], {"a": flat("a", "1.00", _10="0.80")}, {})
    assert bought.packs == {"a": 10}


def test_a_small_pack_is_added_to_a_large_one():
    offers = {"a": flat("a", "8.00", 50), "ab": flat("ab", "2.50", 10)}
    assert choose_offers([Demand("w", 60, ("a", "ab"))], offers, {}).packs == {"a": 1, "ab": 1}


def test_a_second_supplier_has_to_be_worth_its_carriage():
    offers = {"a1": flat("a1", "5"), "a2": flat("a2", "5"), "b2": flat("b2", "3")}
    demands = [Demand("w1", 1, ("a1",)), Demand("w2", 1, ("a2", "b2"))]
    dear, cheap = SupplierTerms(Decimal("2.10")), SupplierTerms(Decimal("1.90"))
    assert set(choose_offers(demands, offers, {"a": cheap, "b": dear}).packs) == {"a1", "a2"}
    assert set(choose_offers(demands, offers, {"a": dear, "b": cheap}).packs) == {"a1", "b2"}


def test_more_is_bought_where_that_saves_the_carriage():
    terms = {"a": SupplierTerms(Decimal(9), Decimal(20))}
    assert choose_offers([Demand("w", 8, ("a",))], {"a": flat("a", "2.30")}, terms).packs == {
        "a": 9
    }


def test_a_search_cut_short_still_meets_every_demand_and_says_so(monkeypatch):
    monkeypatch.setattr(_Programme, "solved", lambda _self: None)
    demands, offers, terms = instance(7)
    bought = choose_offers(demands, offers, terms)
    packs = {o: bought.packs.get(o, 0) for o in offers}
    assert bought.gap is None
    assert all(is_met(demand, packs, offers) for demand in demands)

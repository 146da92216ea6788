"""Searches that end early say so, and by how much another answer could be better."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.book.chapters.parts import chapters
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.commands.bill_text import bill_text
from buildbook.parts import choose_offers as choosing
from buildbook.parts import cutting_stock
from buildbook.parts.bill import make_bill
from buildbook.parts.choose_offers import Demand, Offer, SupplierTerms, choose_offers
from buildbook.parts.cutting_plans import cutting_plan
from buildbook.parts.cutting_stock import best_cutting
from buildbook.parts.model import Need, PieceToCut
from tests.checks import minimal as m
from tests.once import undrawn
from tests.parts.test_choose_offers import cost
from tests.parts.test_cutting_stock import least_reels, new_reels


def twenty_demands():
    """Each sold by three of six suppliers, with carriage that larger orders save."""
    rng = random.Random(0)
    terms = {
        name: SupplierTerms(Decimal(rng.randint(3, 9)), Decimal(rng.choice([25, 40])))
        for name in "abcdef"
    }
    offers, demands = {}, []
    for k in range(20):
        names = rng.sample("abcdef", 3)
        for name in names:
            price = Decimal(rng.randint(20, 90)) / 10
            steps = ((1, price), (4, price * Decimal("0.8")))
            offers[f"{name}{k}"] = Offer(f"{name}{k}", name, rng.choice([5, 10, 25]), steps)
        demands.append(Demand(f"w{k}", rng.randint(1, 60), tuple(f"{n}{k}" for n in names)))
    return demands, offers, terms


def test_a_search_cut_short_names_a_share_that_no_choice_saves_more_than(monkeypatch):
    """Judged by the same programme run to its proven end, itself checked against every
    combination in test_choose_offers."""
    demands, offers, terms = twenty_demands()

    def total(bought) -> Decimal:
        return cost({o: bought.packs.get(o, 0) for o in offers}, offers, terms)

    proven = choose_offers(demands, offers, terms)
    monkeypatch.setattr(choosing, "MOST_NODES", 1)
    early = choose_offers(demands, offers, terms)
    assert proven.gap == 0
    assert 0 < early.gap < 1
    assert 0 <= float(1 - total(proven) / total(early)) <= early.gap + 1e-9


def test_a_search_without_any_plan_knows_no_share(monkeypatch):
    monkeypatch.setattr(choosing, "MOST_NODES", 0)
    demands, offers, terms = twenty_demands()
    assert choose_offers(demands, offers, terms).gap is None


def test_without_any_plan_no_order_is_under_the_smallest_that_a_supplier_takes(monkeypatch):
    monkeypatch.setattr(choosing, "MOST_NODES", 0)
    demands, offers, terms = twenty_demands()
    terms = {name: replace(asked, smallest_order=Decimal(45)) for name, asked in terms.items()}

    def orders(bought) -> dict[str, Decimal]:
        sums: dict[str, Decimal] = {}
        for name, packs in bought.packs.items():
            price = [p for least, p in offers[name].steps if least <= packs][-1]
            supplier = offers[name].supplier
            sums[supplier] = sums.get(supplier, Decimal(0)) + price * packs
        return sums

    unasked = {n: replace(asked, smallest_order=Decimal(0)) for n, asked in terms.items()}
    assert min(orders(choose_offers(demands, offers, unasked)).values()) < 45
    bought = choose_offers(demands, offers, terms)
    assert min(orders(bought).values()) >= 45
    for demand in demands:
        packs = sum(bought.packs.get(o, 0) * offers[o].pack for o in demand.offers)
        assert packs >= demand.quantity


def test_the_bill_has_the_gap_of_what_was_bought(monkeypatch):
    found = choose_offers([], {}, {})
    monkeypatch.setattr("buildbook.parts.bill.choose_offers", lambda *_: replace(found, gap=0.02))
    bill = make_bill((), m.description())
    assert (bill.gap, bill.least) == (0.02, False)
    assert replace(bill, gap=None).least is False
    assert replace(bill, gap=0.0).least is True


def test_a_cutting_that_says_fewest_takes_as_few_reels_as_an_exact_programme(monkeypatch):
    """21 to 26 pieces of more than a quarter of a reel, with a search of 30 steps: where it
    knows, the programme over all sets that fit agrees; where it does not know, it says so."""
    monkeypatch.setattr(cutting_stock, "MOST_STEPS", 30)
    rng = random.Random(5)
    known = []
    for _ in range(12):
        pieces = [round(rng.uniform(0.51, 1.2), 3) for _ in range(rng.randint(21, 26))]
        found = best_cutting(pieces, 2.0)
        known.append(found.fewest)
        assert new_reels(found.patterns) >= (least := least_reels(pieces, 2.0, []))
        if found.fewest:
            assert new_reels(found.patterns) == least
    assert set(known) == {True, False}


CUT_OFF = [
    ((0.9, 0.5), 0.0, 0.6, True),
    ((0.6, 0.5, 0.49), 0.0, 1.2, False),
    ((0.6, 0.5, 0.49), 0.4, 1.2, True),
]
"""In packs of 0.3 m beside an owned 1.0 m. 0.9 m comes from the owned length, 0.5 m takes two
packs and no fewer. 0.6 m from the owned length leaves 0.5 and 0.49 m, four packs; the other way
round three would do, which a search for the fewest reels does not see. With 0.4 m to spare, 1.99 m
less 1.0 m take four packs however they are cut."""


def cut_need(*lengths_m: float) -> Need:
    cut = tuple(PieceToCut(str(n), "h", length) for n, length in enumerate(lengths_m, 101))
    return Need("wire w RD", "Wire, red", sum(lengths_m), "m", pieces=cut)


@pytest.mark.parametrize(("lengths_m", "spare_m", "new_m", "fewest"), CUT_OFF)
def test_metres_cut_off_beside_an_owned_length_are_the_fewest_or_say_so(
    lengths_m, spare_m, new_m, fewest
):
    need = replace(cut_need(*lengths_m), spare=spare_m)
    plan = cutting_plan(need, "r", "Wire", 0.3, True, (1.0,))
    assert sum(s.length_m for s in plan.sources if not s.owned) == pytest.approx(new_m)
    assert plan.fewest is fewest


def told(result, gap: float | None, fewest: bool) -> tuple[str, str]:
    """What the printed price and the parts chapter say of a bill with such a gap and plan."""
    plan = cutting_plan(cut_need(1.0), "r", "Reel", 5.0, False, ())
    bill = replace(result.bill, gap=gap, plans=(replace(plan, fewest=fewest),))
    result = replace(result, bill=bill)
    (chapter,) = chapters(result, undrawn(result))
    vehicle = result.vehicle
    data, supply = vehicle.description.vehicle, vehicle.supply
    html = chapter_html(chapter, 1, (chapter,), data, PageMap(), supply)
    return tuple(" ".join(text.split()) for text in (bill_text(result, "text"), html))


@pytest.mark.parametrize(
    ("gap", "price_says", "book_says"),
    [
        (0.0123, "by at most 1.23%.", "by at most 1.23 %."),
        (None, "by an unknown share.", "by an unknown share."),
    ],
)
def test_price_and_book_say_that_another_choice_may_cost_less(two_wire, gap, price_says, book_says):
    price, book = told(two_wire, gap, True)
    assert f"another choice may cost less, {price_says}" in price
    assert f"another choice may cost less, {book_says}" in book
    assert "fewer may do" not in price + book


def test_price_and_book_name_the_wire_that_fewer_reels_may_do_for(two_wire):
    price, book = told(two_wire, 0.0, False)
    assert "fewest reels ended early; fewer may do for: Wire, red" in price
    assert "fewest reels ended early; fewer may do for: Wire, red." in book
    assert "may cost less" not in price + book


def test_price_and_book_say_nothing_of_searches_that_came_to_their_end(two_wire):
    assert not [text for text in told(two_wire, 0.0, True) if "ended early" in text]

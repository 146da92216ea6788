"""Orders, stock, shares and cuts at the numbers where a rule begins, worked out on paper."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.parts import choose_offers as choosing
from buildbook.parts.bill import make_bill
from buildbook.parts.choose_offers import Demand, Offer, SupplierTerms, choose_offers
from buildbook.parts.cutting_plans import cutting_plan
from buildbook.parts.cutting_stock import best_cutting
from buildbook.parts.model import Bill, Need, PieceToCut, Use
from tests.checks import minimal as m


def pieces(key: str, quantity: float, *uses: Use) -> Need:
    return Need(key, key, quantity, "piece", uses or (Use("h", "main", quantity),))


def bill_of(wanted, suppliers=None, parts=None, **vehicle) -> Bill:
    told = {"name": "Bench", "date": "2026-03-01", "currency": "EUR", "tax": "0 %", **vehicle}
    return make_bill(
        wanted, m.description(vehicle=told, suppliers=suppliers or {}, parts=parts or {})
    )


@pytest.mark.parametrize(("price", "carriage"), [("9.99", "5.00"), ("10.00", "0"), ("10.01", "0")])
def test_carriage_is_free_from_the_very_sum_that_the_supplier_names(price, carriage):
    """Three of them: 29.97, 30.00 and 30.03, free from 30."""
    shop = {"s": {"name": "S", "carriage": "5.00", "free from": "30.00"}}
    part = {"what": "P", "serves": "p", "supplier": "s", "price": price}
    bill = bill_of((pieces("p", 3),), shop, {"p": part})
    assert bill.carriage == Decimal(carriage)
    assert bill.total == 3 * Decimal(price) + Decimal(carriage)


@pytest.mark.parametrize(("dated", "old"), [("2025-03-01", False), ("2025-02-28", True)])
def test_a_price_is_old_from_the_366th_day_on(dated, old):
    """From 1 March 2025 to 1 March 2026 are 365 days. A year is common practice, no source."""
    part = {"what": "P", "serves": "p", "price": "1", "dated": dated}
    (line,) = bill_of((pieces("p", 1),), {}, {"p": part}).lines
    assert line.old is old


def test_carriage_abroad_is_changed_before_suppliers_are_compared():
    """Abroad 100 + 40 crowns at 0.10 make 14.00; at home it is 15.00."""
    shops = {
        "abroad": {"name": "Abroad", "currency": "SEK", "carriage": "40"},
        "home": {"name": "Home"},
    }
    parts = {
        "far": {"what": "Far", "serves": "p", "supplier": "abroad", "price": "100"},
        "near": {"what": "Near", "serves": "p", "supplier": "home", "price": "15"},
    }
    bill = bill_of((pieces("p", 1),), shops, parts, rates={"SEK": "0.10"})
    assert [order.supplier for order in bill.orders] == ["abroad"]
    assert (bill.carriage, bill.total) == (Decimal("4.00"), Decimal("14.00"))


def test_an_order_arrives_with_its_slowest_line():
    parts = {
        name: {"what": name, "serves": name, "supplier": "s", "price": "1", "lead days": days}
        for name, days in (("a", 3), ("b", 10), ("c", 5))
    }
    wanted = tuple(pieces(name, 1) for name in "abc")
    (order,) = bill_of(wanted, {"s": {"name": "S"}}, parts).orders
    assert order.lead_days == 10


def test_stock_that_one_need_has_taken_is_not_there_for_the_next():
    """Of 10 there, 6 and 3 go: one is left for the five, and four are bought."""
    part = {"what": "Ring", "serves": "ring", "price": "0.50", "owned": 10}
    wanted = (pieces("ring M4", 6), pieces("ring M5", 3), pieces("ring M6", 5))
    serves = ["ring M4", "ring M5", "ring M6"]
    bill = bill_of(wanted, {}, {"ring": {**part, "serves": serves}})
    (stock,) = bill.stock
    assert (stock.there, stock.taken) == (10, 10)
    assert bill.net == 4 * Decimal("0.50")


def test_orders_stand_as_the_suppliers_do_and_what_no_supplier_sells_comes_last():
    """Each with its own tax where it says one, on carriage too: a tenth of 3.00, nothing abroad
    and a fifth of 2.00. An order of nothing with a price asks for no carriage."""
    shops = {
        "second": {"name": "Second", "tax": "10 %", "carriage": "1.00", "lead days": 0},
        "idle": {"name": "Idle", "carriage": "9.00"},
        "abroad": {"name": "Abroad", "tax": "0 %"},
        "asked": {"name": "Asked", "carriage": "7.00"},
    }
    parts = {
        name: {"what": name, "serves": name, "supplier": shop, "price": "2.00"}
        for name, shop in (("a", "abroad"), ("b", None), ("c", "second"))
    }
    parts["d"] = {"what": "d", "serves": "d", "supplier": "asked"}
    bill = bill_of(tuple(pieces(name, 1) for name in "abcd"), shops, parts, tax="20 %")
    told = {o.supplier: (o.asked.net, o.asked.carriage, o.asked.tax) for o in bill.orders}
    assert list(told.items()) == [
        ("second", (2, 1, Decimal("0.30"))),
        ("abroad", (2, 0, 0)),
        ("asked", (0, 0, 0)),
        ("", (2, 0, Decimal("0.40"))),
    ]
    assert [o.lead_days for o in bill.orders] == [0, None, None, None]
    assert [o.tax_share for o in bill.orders] == [
        Decimal("0.1"),
        0,
        Decimal("0.2"),
        Decimal("0.2"),
    ]
    assert (bill.net, bill.carriage, bill.tax) == (6, 1, Decimal("0.70"))
    assert bill.total == Decimal("7.70")


@pytest.mark.parametrize(
    ("carried", "pack", "price", "cost"),
    [(2, 10, "5.00", "1.00"), (1, 0.5, "0.80", "1.60"), (3, 2.5, "1.00", "1.20")],
)
def test_a_carried_spare_costs_its_share_of_the_pack(carried, pack, price, cost):
    """Two of ten, or of shrink one metre in lengths of 0.5 m and three in lengths of 2.5 m."""
    part = {"what": "Shrink", "serves": "shrink", "price": price, "pack": pack, "carry": carried}
    need = replace(pieces("heat-shrink shrink-6", 3), unit="m")
    bill = bill_of((need,), {}, {"shrink": part})
    (spare,) = bill.spares_box
    assert (spare.what, spare.part, spare.unit) == ("heat-shrink shrink-6", "shrink", "m")
    assert (spare.quantity, spare.cost) == (carried, Decimal(cost))


def test_what_is_carried_without_a_price_costs_nothing_known():
    (spare,) = bill_of((pieces("fuse blade 5 A", 3),)).spares_box
    assert (spare.part, spare.quantity, spare.cost) == ("", 2, None)


def test_a_systems_cost_adds_up_over_its_harnesses():
    """Of 8 pieces for 8.00 the lights take 3 in one harness and 2 in another, the engine 3."""
    uses = (Use("a", "lights", 3), Use("b", "lights", 2), Use("a", "engine", 3))
    part = {"what": "P", "serves": "p", "price": "1"}
    bill = bill_of((pieces("p", 8, *uses),), {}, {"p": part})
    assert bill.by_system == {"lights": Decimal("5.00"), "engine": Decimal("3.00")}
    assert bill.by_harness == {"a": Decimal("6.00"), "b": Decimal("2.00")}


def test_a_price_holds_to_the_last_pack_before_its_break():
    """Up to four at 1, from five on 3 each, elsewhere 2: four and one elsewhere make 6, five of
    the first 15, five elsewhere 10."""
    offers = {
        "few": Offer("few", "a", 1, ((1, Decimal(1)), (5, Decimal(3)))),
        "any": Offer("any", "b", 1, ((1, Decimal(2)),)),
    }
    terms = {"a": SupplierTerms(), "b": SupplierTerms()}
    bought = choose_offers((Demand("d", 5, ("few", "any")),), offers, terms)
    assert bought.packs == {"few": 4, "any": 1}


def without_a_plan(monkeypatch, demands, offers, **terms: SupplierTerms):
    """What is bought where the search ends before it has found any plan."""
    monkeypatch.setattr(choosing._Programme, "solved", lambda _self: None)
    return choose_offers(demands, offers, terms)


def test_without_a_plan_each_demand_takes_the_offer_that_is_cheapest_alone(monkeypatch):
    """30 pieces: three tens at 2.00 or two of 25 at 4.00; five more share the fourth ten. What is
    cut takes as many reels as its pieces need: two at 5.00, against three of another at 4.00."""
    offers = {
        "ten": Offer("ten", "a", 10, ((1, Decimal(2)),)),
        "many": Offer("many", "a", 25, ((1, Decimal(4)),)),
        "reel": Offer("reel", "b", 10, ((1, Decimal(5)),)),
        "short": Offer("short", "b", 5, ((1, Decimal(4)),)),
    }
    demands = (
        Demand("pins", 30, ("many", "ten")),
        Demand("more pins", 5, ("ten",)),
        Demand("wire", 11, ("short", "reel"), {"reel": 2, "short": 3}),
    )
    bought = without_a_plan(monkeypatch, demands, offers)
    assert bought.packs == {"ten": 4, "reel": 2}
    assert bought.met == {("pins", "ten"): 30, ("more pins", "ten"): 5, ("wire", "reel"): 11}


def test_without_a_plan_no_fewer_are_bought_than_are_sold_and_a_break_counts(monkeypatch):
    """Two at 1.00 are sold from six on, for 6.00; elsewhere two are 5.00, and eight 8.00."""
    offers = {
        "least": Offer("least", "a", 1, ((6, Decimal(1)),)),
        "any": Offer("any", "b", 1, ((1, Decimal("2.50")), (8, Decimal(1)))),
    }
    both = ("least", "any")
    few = without_a_plan(monkeypatch, [Demand("d", 2, both)], offers)
    assert few.packs == {"any": 2}
    some = without_a_plan(monkeypatch, [Demand("d", 3, both)], offers)
    assert some.packs == {"least": 6}
    many = without_a_plan(monkeypatch, [Demand("d", 9, ("any",))], offers)
    assert many.packs == {"any": 9}


def test_without_a_plan_the_cheapest_of_an_order_fills_it_up_to_the_smallest(monkeypatch):
    """One screw at 3.00 and one nut at 2.00 make 5.00 of at least 10.00: three nuts more make
    11.00. Another supplier takes any order, and what is given away fills nothing up."""
    offers = {
        "screw": Offer("screw", "a", 1, ((1, Decimal(3)),)),
        "nut": Offer("nut", "a", 1, ((1, Decimal(2)),)),
        "sample": Offer("sample", "a", 1, ((1, Decimal(0)),)),
        "clip": Offer("clip", "b", 1, ((1, Decimal(1)),)),
    }
    demands = [Demand(name, 1, (name,)) for name in offers]
    ten = SupplierTerms(smallest_order=Decimal(10))
    found = without_a_plan(monkeypatch, demands, offers, b=SupplierTerms(), a=ten)
    assert found.packs == {"screw": 1, "nut": 4, "sample": 1, "clip": 1}


def test_a_piece_as_long_as_an_owned_length_needs_no_cut():
    (cut,) = best_cutting([2.0], 5.0, [2.0]).patterns
    assert (cut.owned, cut.length_m, cut.left_m) == (True, 2.0, 0.0)


def test_the_next_piece_begins_a_saw_cut_after_the_last():
    """2 mm go at every cut (bench practice, no source): 0, 3.002 and 5.004 m on a reel of 10."""
    cut = tuple(PieceToCut(f"10{n}", "h", length) for n, length in ((1, 3.0), (2, 2.0), (3, 1.0)))
    plan = cutting_plan(Need("wire w", "W", 6.0, "m", pieces=cut), "r", "Reel", 10.0, False, ())
    (reel,) = plan.sources
    assert [(c.piece, c.start_m) for c in reel.cuts] == [("101", 0), ("102", 3.002), ("103", 5.004)]
    assert reel.left_m == pytest.approx(10 - 6 - 3 * 0.002)

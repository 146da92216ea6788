"""Totals by hand: another currency and tax, another pack and break, stock owned."""

from __future__ import annotations

from decimal import Decimal

from buildbook.parts.bill import make_bill
from buildbook.parts.model import Need, PieceToCut, Use
from buildbook.parts.money import rounded, shared_out
from tests.checks import minimal as m


def pieces(key: str, quantity: float) -> Need:
    return Need(key, key, quantity, "piece", (Use("h", "main", quantity),))


def wire(key: str, *lengths: float) -> Need:
    cut = tuple(PieceToCut(str(101 + n), "h", length) for n, length in enumerate(lengths))
    return Need(key, key, sum(lengths), "m", (Use("h", "main", sum(lengths)),), pieces=cut)


def told(vehicle: dict, suppliers: dict, parts: dict):
    base = {"name": "Bench", "date": "2026-03-01", "currency": "EUR", "tax": "20 %"}
    return m.description(vehicle={**base, **vehicle}, suppliers=suppliers, parts=parts)


def test_an_order_in_pounds_with_its_own_tax_beside_one_at_home():
    description = told(
        {"rates": {"GBP": "1.17"}},
        {
            "isle": {"name": "Isle", "currency": "GBP", "carriage": "6.45", "tax": "5 %"},
            "home": {"name": "Home", "carriage": "4.50"},
        },
        {
            "lug": {"what": "Lug", "serves": "lug", "supplier": "isle", "price": "4.99"},
            "nut": {"what": "Nut", "serves": "nut", "supplier": "home", "price": "0.35"},
        },
    )
    bill = make_bill((pieces("lug", 3), pieces("nut", 11)), description)
    isle, home = bill.orders

    three_lugs = 3 * Decimal("4.99")
    isle_tax = Decimal("1.07")
    isle_total = three_lugs + Decimal("6.45") + isle_tax
    assert three_lugs == Decimal("14.97")
    assert abs((three_lugs + Decimal("6.45")) * Decimal("0.05") - isle_tax) < Decimal("0.005")
    assert isle_total == Decimal("22.49")
    assert (isle.asked.net, isle.asked.tax, isle.asked.total) == (three_lugs, isle_tax, isle_total)

    lugs_at_home, carriage_at_home = Decimal("17.51"), Decimal("7.55")
    tax_at_home = Decimal("1.25")
    assert three_lugs * Decimal("1.17") == Decimal("17.5149")
    assert Decimal("6.45") * Decimal("1.17") == Decimal("7.5465")
    assert isle_tax * Decimal("1.17") == Decimal("1.2519")
    assert isle.home.total == lugs_at_home + carriage_at_home + tax_at_home == Decimal("26.31")

    nuts = 11 * Decimal("0.35")
    nuts_and_carriage = nuts + Decimal("4.50")
    assert nuts_and_carriage * Decimal("0.20") == Decimal("1.67")
    assert home.home.total == nuts_and_carriage + Decimal("1.67") == Decimal("10.02")
    assert bill.total == Decimal("26.31") + Decimal("10.02")


def test_another_tax_rate_and_another_pack_change_the_total():
    suppliers = {"home": {"name": "Home", "carriage": "5.00", "free from": "30.00"}}
    pin = {"what": "Pins", "serves": "pin", "supplier": "home", "price": "7.20", "pack": 25}
    need = (pieces("pin", 90),)

    four_packs = 4 * Decimal("7.20")
    with_carriage = four_packs + Decimal("5.00")
    assert with_carriage * Decimal("1.20") == Decimal("40.560")
    assert make_bill(need, told({}, suppliers, {"p": pin})).total == Decimal("40.56")

    assert with_carriage * Decimal("1.09") == Decimal("36.8420")
    assert make_bill(need, told({"tax": "9 %"}, suppliers, {"p": pin})).total == Decimal("36.84")

    nine_packs_of_ten = 9 * Decimal("3.40")
    assert nine_packs_of_ten == Decimal("30.60")
    tens = {**pin, "price": "3.40", "pack": 10}
    bill = make_bill(need, told({}, suppliers, {"p": tens}))
    assert bill.carriage == 0
    assert bill.total == nine_packs_of_ten + Decimal("6.12") == Decimal("36.72")

    ten_packs_from_the_break = 10 * Decimal("2.95")
    cheaper_from_ten = {**tens, "breaks": {10: "2.95"}}
    bill = make_bill(need, told({}, {"home": {"name": "Home"}}, {"p": cheaper_from_ten}))
    assert bill.net == ten_packs_from_the_break == Decimal("29.50")


def test_stock_that_is_owned_is_not_bought_again():
    suppliers = {"home": {"name": "Home", "carriage": "2.50"}}
    reel = {
        "what": "Wire",
        "serves": "wire thin-wall 1 mm2",
        "supplier": "home",
        "price": "5.40",
        "pack": 10,
    }
    pin = {"what": "Pins", "serves": "pin", "supplier": "home", "price": "1.10", "pack": 5}
    needs = (wire("wire thin-wall 1 mm2 RD", 6.0, 5.5, 3.0), pieces("pin", 12))

    two_reels, three_packs = 2 * Decimal("5.40"), 3 * Decimal("1.10")
    without = (two_reels + three_packs + Decimal("2.50")) * Decimal("1.20")
    assert without == Decimal("19.920")
    assert make_bill(needs, told({}, suppliers, {"r": reel, "p": pin})).total == Decimal("19.92")

    owned_wire, owned_pins = {**reel, "owned": ["6.1 m RD", "9 m BK"]}, {**pin, "owned": 4}
    one_reel, two_packs = Decimal("5.40"), 2 * Decimal("1.10")
    with_stock = (one_reel + two_packs + Decimal("2.50")) * Decimal("1.20")
    assert with_stock == Decimal("12.120")
    bill = make_bill(needs, told({}, suppliers, {"r": owned_wire, "p": owned_pins}))
    assert bill.total == Decimal("12.12")
    assert [(s.part, s.there, s.taken) for s in bill.stock] == [("r", 15.1, 6.0), ("p", 4, 4)]
    # 6.0 of 14.5 m are cut from the red length, and 4 of 12 pins are in the drawer.
    assert [(line.quantity, line.owned) for line in bill.lines] == [(8.5, 6.0), (8, 4)]
    assert [line.quantity for order in bill.orders for line in order.lines] == [8.5, 8]


def test_all_that_is_owned_is_bought_of_nobody():
    pin = {"what": "Pins", "serves": "pin", "supplier": "s", "price": "1", "owned": 20}
    description = told({}, {"s": {"name": "S", "carriage": "9"}}, {"p": pin})
    bill = make_bill((pieces("pin", 12),), description)
    assert (bill.total, bill.orders, bill.missing) == (0, (), ())
    assert bill.lines[0].owned == 12


def test_a_substitute_is_bought_where_it_is_cheaper_and_says_what_it_replaces():
    parts = {
        "fine": {"what": "Fine pin", "serves": "pin", "price": "2", "substitutes": "plain"},
        "plain": {"what": "Plain pin", "price": "1"},
    }
    (line,) = make_bill((pieces("pin", 5),), told({}, {}, parts)).lines
    assert (line.part, line.in_place_of, line.cost) == ("plain", "fine", Decimal("5.00"))


def test_wire_whose_packs_are_all_too_short_is_missing_with_the_reason():
    reel = {"what": "Wire", "serves": "wire thin-wall 1 mm2", "price": "5", "pack": 2}
    need = wire("wire thin-wall 1 mm2 RD", 2.4)
    bill = make_bill((need,), told({}, {}, {"r": reel}))
    assert bill.missing == (need.key,)
    assert "as long as its longest piece" in dict(bill.unserved)[need.key]
    by_the_metre = {**reel, "pack": 1, "in one length": True}
    bill = make_bill((need,), told({}, {}, {"r": by_the_metre}))
    assert (bill.lines[0].packs, bill.plans[0].sources[0].length_m) == (3, 3.0)


def test_a_price_without_a_date_or_of_long_ago_is_marked():
    parts = {
        "a": {"what": "A", "serves": "a", "price": "1"},
        "b": {"what": "B", "serves": "b", "price": "1", "dated": "2024-01-01"},
        "c": {"what": "C", "serves": "c", "price": "1", "dated": "2026-01-01"},
    }
    lines = make_bill(tuple(pieces(k, 1) for k in "abc"), told({}, {}, parts)).lines
    assert [line.old for line in lines] == [True, True, False]


def test_half_a_hundredth_goes_up():
    assert rounded(Decimal("0.125")) == Decimal("0.13")
    assert rounded(Decimal("0.1249")) == Decimal("0.12")


def test_a_cost_is_shared_out_to_the_last_hundredth():
    parts = shared_out(Decimal("10.00"), {"a": 1, "b": 1, "c": 1})
    assert parts == {"a": Decimal("3.34"), "b": Decimal("3.33"), "c": Decimal("3.33")}


def test_the_hundredth_left_over_goes_to_the_largest_remainder():
    """A third and two thirds of 1.00 are 0.333 and 0.667."""
    assert shared_out(Decimal("1.00"), {"a": 1, "b": 2}) == {
        "a": Decimal("0.33"),
        "b": Decimal("0.67"),
    }
    assert shared_out(Decimal("1.00"), {"a": 0}) == {}

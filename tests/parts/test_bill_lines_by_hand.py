"""What a line of the bill says of its purchase, and of what is not bought, worked out on paper."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from buildbook.catalogue.load import fuse_families
from buildbook.parts.bill import lacking, make_bill
from buildbook.parts.bill_lines import together
from buildbook.parts.model import Bill, BillLine, Need, PieceToCut, Use
from tests.checks import minimal as m

HOME = {"name": "Bench", "date": "2026-03-01", "currency": "EUR", "tax": "0 %"}
RATES = {"USD": "0.90", "GBP": "1.20"}


def pieces(key: str, quantity: float) -> Need:
    return Need(key, f"some {key}", quantity, "piece", (Use("h", "main", quantity),))


def wire(colour: str, *lengths_m: float) -> Need:
    cut = tuple(PieceToCut(str(n), "h", metres) for n, metres in enumerate(lengths_m, 101))
    key = f"wire thin-wall 1 mm2 {colour}"
    return Need(key, f"some {key}", sum(lengths_m), "m", pieces=cut)


def bill_of(*wanted: Need, suppliers=None, **parts) -> Bill:
    told = {**HOME, "rates": RATES}
    return make_bill(wanted, m.description(vehicle=told, suppliers=suppliers or {}, parts=parts))


def bought(line: BillLine) -> tuple:
    return line.part, line.what, line.supplier, line.packs, line.pack, line.cost


def test_a_line_in_a_third_currency_is_asked_in_that_of_its_order():
    """Of 7 lugs 2 are there: 3 packs of two at 4.00 dollars make 12.00, or 10.80 euros, or 9.00
    pounds, in which the order is written."""
    isle = {"name": "Isle", "currency": "GBP", "lead days": 6}
    lug = {
        "what": "Lug",
        "serves": "lug",
        "supplier": "isle",
        "price": "4.00",
        "currency": "USD",
        "pack": 2,
        "owned": 2,
        "dated": "2025-12-01",
    }
    bill = bill_of(pieces("lug", 7), suppliers={"isle": isle}, lug=lug)
    (line,) = bill.lines
    assert bought(line) == ("lug", "Lug", "isle", 3, 2, Decimal("10.80"))
    assert (line.pack_price, line.currency, line.asked) == (Decimal("4.00"), "USD", Decimal("9.00"))
    assert (line.quantity, line.owned, line.keys, line.colours) == (5, 2, ("lug",), ())
    assert line.in_place_of == ""
    assert (line.dated, line.old, line.lead_days) == (date(2025, 12, 1), False, 6)
    (order,) = bill.orders
    assert (order.supplier, order.currency, order.rate) == ("isle", "GBP", Decimal("1.20"))
    assert (order.asked.net, order.home.net, order.unpriced) == (
        Decimal("9.00"),
        Decimal("10.80"),
        0,
    )


@pytest.mark.parametrize(("own", "days"), [(None, 6), (0, 0), (9, 9)])
def test_a_part_arrives_by_its_own_days_before_its_suppliers(own, days):
    shop = {"s": {"name": "S", "lead days": 6}}
    part = {"what": "P", "serves": "p", "supplier": "s", "price": "1"}
    (line,) = bill_of(pieces("p", 1), suppliers=shop, p={**part, "lead days": own}).lines
    assert line.lead_days == days


def test_what_has_no_price_is_ordered_all_the_same_and_what_nothing_serves_is_listed():
    """Six rings beside two that are there: three packs of two to ask for; no carriage yet."""
    shop = {"s": {"name": "S", "carriage": "5.00"}}
    ring = {"what": "Ring", "serves": ["ring M4", "ring M5"], "supplier": "s", "pack": 2}
    wanted = pieces("ring M4", 4), pieces("ring M5", 4), pieces("cap", 3), pieces("bolt", 2)
    bill = bill_of(*wanted, suppliers=shop, ring={**ring, "owned": 2})
    rings, cap, bolt = bill.lines
    assert bought(rings) == ("ring", "Ring", "s", 3, 2, None)
    assert (rings.need.key, rings.quantity, rings.owned) == ("ring (M4, M5)", 6, 2)
    assert bought(cap) == ("", "some cap", "", 0, 0, None)
    assert (cap.quantity, cap.keys, bolt.quantity, bolt.keys) == (3, ("cap",), 2, ("bolt",))
    assert bill.missing == ("bolt", "cap", "ring M4", "ring M5")
    assert bill.unserved == (("cap", "no part serves it"), ("bolt", "no part serves it"))
    (order,) = bill.orders
    assert (order.supplier, order.unpriced, bill.total) == ("s", 1, 0)


def test_wire_without_a_price_is_as_many_reels_as_its_pieces_are_cut_from():
    """Pieces of 6 and 5 m and one of 4 m: two red reels of 10 m, though 15 m, and a blue one."""
    reel = {"what": "Reel", "serves": "wire thin-wall 1 mm2", "pack": 10}
    (line,) = bill_of(wire("RD", 6, 5, 4), wire("BU", 2), reel=reel).lines
    assert (line.packs, line.cost, line.colours) == (3, None, (("RD", 2), ("BU", 1)))
    assert line.in_colours == "2 × RD, BU"


@pytest.mark.parametrize(("length_m", "packs"), [(10.0, 1), (10.01, 2), (20.0, 2)])
def test_what_is_as_long_as_its_packs_takes_no_more(length_m, packs):
    """By the metre, in tens: a piece that ends with its length needs no saw cut."""
    reel = {"what": "Reel", "serves": "wire thin-wall 1 mm2", "price": "9", "pack": 10}
    bill = bill_of(wire("RD", length_m), reel={**reel, "in one length": True})
    assert [line.packs for line in bill.lines] == [packs]


def test_what_is_there_stands_on_the_bill_for_nothing():
    owned = {"what": "Nut", "serves": "nut", "price": "0.30", "pack": 4, "owned": 9}
    (nut, tie) = bill_of(
        pieces("nut", 3),
        wire("RD", 2),
        nut=owned,
        reel={
            "what": "Reel",
            "serves": "wire thin-wall 1 mm2",
            "price": "9",
            "pack": 10,
            "owned": "3 m RD",
        },
    ).lines
    assert bought(nut) == ("nut", "Nut", "", 0, 4, 0)
    assert (nut.pack_price, nut.currency, nut.owned) == (Decimal("0.30"), "EUR", 3)
    assert bought(tie) == ("reel", "Reel", "", 0, 10, 0)
    assert tie.owned == 2


def test_lines_stand_in_the_order_of_the_needs():
    part = {"what": "P", "price": "1"}
    parts = {name: {**part, "serves": name} for name in "cab"}
    lines = bill_of(
        pieces("a", 1), pieces("none", 1), pieces("b", 1), pieces("c", 1), **parts
    ).lines
    assert [line.keys[0] for line in lines] == ["a", "none", "b", "c"]


@pytest.mark.parametrize(
    ("keys", "titles", "key", "what"),
    [
        (
            ("terminal ring-M6 1 mm2", "terminal ring-M6 4 mm2"),
            ("Ring terminal M6, 1 mm2", "Ring terminal M6, 4 mm2"),
            "terminal ring-M6 (1 mm2, 4 mm2)",
            "Ring terminal M6 (1 mm2, 4 mm2)",
        ),
        (
            ("relay", "base relay"),
            ("Relay", "Relay base"),
            "relay, base relay",
            "Relay, Relay base",
        ),
        (
            ("terminal pin-1.5 mate", "terminal pin-1.5"),
            ("Terminal A, 1 mm2", "Relay"),
            "terminal pin-1.5",
            "Terminal A, 1 mm2, Relay",
        ),
    ],
)
def test_needs_that_share_a_part_share_what_their_names_begin_with(keys, titles, key, what):
    both = together(
        [
            Need(k, t, 2.0, "piece", spare=1.0, carried=0.5)
            for k, t in zip(keys, titles, strict=True)
        ]
    )
    assert (both.key, both.what) == (key, what)
    assert (both.quantity, both.spare, both.carried, both.wanted) == (4, 2, 1, 7)


def test_what_is_lacking_is_what_the_bill_would_miss():
    """Priced, unpriced, served by nothing, of packs that are too short, and met by stock."""
    parts = {
        "a": {"what": "A", "serves": "a", "price": "1"},
        "b": {"what": "B", "serves": "b"},
        "short": {"what": "Reel", "serves": "wire thin-wall 1 mm2", "price": "5", "pack": 2},
        "d": {"what": "D", "serves": "d", "owned": 4},
    }
    wanted = pieces("b", 1), pieces("a", 1), wire("RD", 2.4), pieces("c", 1), pieces("d", 3)
    description = m.description(vehicle=HOME, parts=parts)
    unpriced, unserved = lacking(wanted, description)
    assert unpriced == ("b", "c", "wire thin-wall 1 mm2 RD")
    assert unserved == (
        ("wire thin-wall 1 mm2 RD", "no pack of its parts is as long as its longest piece"),
        ("c", "no part serves it"),
    )
    bill = make_bill(wanted, description)
    assert (bill.missing, bill.unserved) == (unpriced, unserved)


@pytest.mark.parametrize(
    ("part", "carried"),
    [
        ({"serves": ["fuse blade"]}, 2),
        ({"serves": ["fuse mini"]}, 2),
        ({"serves": ["fuse bolted"]}, 1),
        ({"serves": ["fuse maxi"]}, 1),
        ({"serves": ["fuse blade"], "carry": 5}, 5),
        ({"serves": ["fuse blade"], "carry": 0}, 0),
        ({}, 0),
    ],
)
def test_a_named_part_is_carried_as_the_kind_that_it_serves_unless_it_says(part, carried):
    (need,) = bill_of(pieces("part mine", 1), mine={"what": "Mine", **part}).needs
    assert need.carried == carried


def test_a_named_part_is_not_carried_for_a_kind_that_is_needed_beside_it():
    wanted = pieces("part mine", 1), pieces("relay", 2)
    named, relay = bill_of(*wanted, mine={"what": "Mine", "serves": ["relay"]}).needs
    assert (named.carried, relay.carried) == (0, 1)


def test_dearest_kinds_systems_and_harnesses_come_first():
    """Nine pins make 9.00, a relay 4.00 and three ties 6.00, of which the tail takes one."""
    uses = {
        "terminal pin-1.5": (Use("nose", "lights", 9),),
        "relay": (Use("", "engine", 1),),
        "tie": (Use("nose", "", 2), Use("tail", "", 1)),
    }
    wanted = [Need(key, key, sum(u.quantity for u in of), "piece", of) for key, of in uses.items()]
    parts = {
        "p": {"what": "P", "serves": "terminal pin-1.5", "price": "1"},
        "r": {"what": "R", "serves": "relay", "price": "2", "carry": 1},
        "t": {"what": "T", "serves": "tie", "price": "2", "carry": 0},
    }
    bill = bill_of(*wanted, **parts)
    assert list(bill.by_kind.items()) == [
        ("terminals and seals", 9),
        ("cover and clamps", 6),
        ("fuses and relays", 4),
    ]
    assert list(bill.by_system.items()) == [("lights", 9), ("shared", 6), ("engine", 4)]
    assert list(bill.by_harness.items()) == [("nose", 13), ("not in a harness", 4), ("tail", 2)]


def test_more_is_bought_where_that_saves_the_carriage_of_an_order_abroad():
    """Nine at 2.00 pounds and 5.00 for carriage are 23.00; ten are 20.00, from where it is free:
    24.00 euros. At home nine at 2.80 euros are 25.20."""
    shops = {
        "isle": {"name": "Isle", "currency": "GBP", "carriage": "5.00", "free from": "20.00"},
        "home": {"name": "Home"},
    }
    part = {"what": "P", "serves": "p"}
    bill = bill_of(
        pieces("p", 9),
        suppliers=shops,
        abroad={**part, "supplier": "isle", "price": "2.00"},
        here={**part, "supplier": "home", "price": "2.80"},
    )
    (line,) = bill.lines
    assert (line.part, line.packs, bill.total) == ("abroad", 10, Decimal("24.00"))


def test_no_order_is_below_the_smallest_that_a_supplier_abroad_takes():
    """Ten pounds at least: five at 2.00 make 12.00 euros, where three would do; elsewhere three
    are 12.30."""
    shops = {"isle": {"name": "Isle", "currency": "GBP", "smallest order": "10.00"}}
    part = {"what": "P", "serves": "p"}
    isle = {**part, "supplier": "isle", "price": "2.00"}
    bill = bill_of(pieces("p", 3), suppliers=shops, a=isle, b={**part, "price": "4.10"})
    assert [(line.part, line.packs) for line in bill.lines] == [("a", 5)]
    assert bill.total == Decimal("12.00")


@pytest.mark.parametrize("lengths", [("1.5 m", "1.5 m"), ("2.6 m",)])
def test_wire_that_nobody_sells_is_missing_where_the_reels_do_not_hold_its_pieces(lengths):
    """Three pieces of 0.9 m: two reels of 1.5 m hold one each, and 2.6 m are too few."""
    reels = [{"size": "1 mm2", "colour": "RD", "length": length} for length in lengths]
    told = m.description(vehicle={**HOME, "wire": {"reels": reels}}, parts={})
    need = wire("RD", 0.9, 0.9, 0.9)
    assert make_bill((need,), told).missing == (need.key,)


def test_a_cutting_plan_says_what_is_cut_from_which_length():
    """An owned 3.0 m takes the 2.9 m; 2.5 m and 2.4 m fill a reel of 5 m, saw cut and all."""
    reel = {
        "what": "Thin wire",
        "serves": "wire thin-wall 1 mm2",
        "price": "9",
        "pack": 5,
        "owned": "3 m RD",
    }
    (plan,) = bill_of(wire("RD", 2.4, 2.9, 2.5), reel=reel).plans
    assert (plan.key, plan.what) == ("wire thin-wall 1 mm2 RD", "some wire thin-wall 1 mm2 RD")
    assert (plan.part, plan.title, plan.colour, plan.fewest) == ("reel", "Thin wire", "RD", True)
    cut = [(s.name, s.length_m, s.owned, [c.piece for c in s.cuts]) for s in plan.sources]
    assert cut == [
        ("owned length 1", 3.0, True, ["102"]),
        ("reel 1", 5.0, False, ["103", "101"]),
    ]
    assert [c.harness for s in plan.sources for c in s.cuts] == ["h", "h", "h"]
    assert plan.cut_m == pytest.approx(7.8)
    assert plan.left_m == pytest.approx(0.098 + 0.096)


@pytest.mark.parametrize("family", fuse_families())
def test_of_every_fuse_that_is_fitted_one_at_least_goes_to_the_track(family):
    (need,) = bill_of(pieces(f"fuse {family} 30 A", 1)).needs
    assert need.carried >= 1

"""Wire that is on the author's reels: by hand, what is still bought and what the reels save."""

from __future__ import annotations

import json
import re
from decimal import Decimal

import pytest

from buildbook.commands.bill_text import _kinds
from buildbook.description.read import read_folder
from buildbook.parts.bill import lacking, make_bill
from buildbook.vehicle.join import join
from tests.parts.test_totals import told, wire
from tests.sizing.small import trailer

SHOP = {"home": {"name": "Home", "carriage": "2.50"}}
TEN_METRES = {
    "what": "Wire",
    "serves": "wire thin-wall 1 mm2",
    "supplier": "home",
    "price": "5.40",
    "pack": 10,
}
RED = wire("wire thin-wall 1 mm2 RD", 6.0, 5.5, 3.0)
"""Two packs of 10 m: 6.0 + 3.0 m from the one, 5.5 m from the other."""


def described(*reels, parts=None):
    choice = {"reels": list(reels)} if reels else {}
    return told({"wire": choice}, SHOP, {"W": TEN_METRES} if parts is None else parts)


def reel(length, colour="RD", size="1 mm2", **more):
    return {"size": size, "colour": colour, "length": length, **more}


def test_only_what_is_missing_is_bought_and_the_bill_says_what_the_reels_save():
    without = (2 * Decimal("5.40") + Decimal("2.50")) * Decimal("1.20")
    with_reel = (Decimal("5.40") + Decimal("2.50")) * Decimal("1.20")
    assert make_bill((RED,), described()).total == without == Decimal("15.96")
    bill = make_bill((RED,), described(reel("6.1 m")))
    assert bill.total == with_reel == Decimal("9.48")
    assert (bill.reels_save.total, bill.reels_save.unpriced) == (Decimal("6.48"), 0)
    (plan,) = bill.plans
    owned, bought = plan.sources
    assert (owned.length_m, owned.owned, [c.length_m for c in owned.cuts]) == (6.1, True, [6.0])
    assert (bought.owned, sorted(c.length_m for c in bought.cuts)) == (False, [3.0, 5.5])
    (row,) = bill.stock
    assert (row.there, row.taken) == (6.1, 6.0)


@pytest.mark.parametrize("other", [reel("50 m", "BK"), reel("50 m", size="1.5 mm2")])
def test_a_reel_of_another_colour_or_size_saves_nothing(other):
    bill = make_bill((RED,), described(other))
    assert bill.total == Decimal("15.96")
    assert bill.reels_save.total == 0
    assert [row.taken for row in bill.stock] == [0.0]


def test_wire_that_nobody_sells_is_cut_from_reels_that_hold_it():
    description = described(reel("9.1 m"), reel("5.6 m"), parts={})
    bill = make_bill((RED,), description)
    assert (bill.total, bill.missing, bill.unserved, bill.orders) == (0, (), (), ())
    (plan,) = bill.plans
    cut = {s.length_m: sorted(c.length_m for c in s.cuts) for s in plan.sources}
    assert cut == {5.6: [5.5], 9.1: [3.0, 6.0]}
    assert lacking((RED,), description) == ((), ())
    assert bill.reels_save.unpriced == 1


def test_every_wire_that_is_cut_from_reels_of_no_part_has_its_plan():
    """6.0 + 5.5 + 3.0 m of red and 1.0 m of black, each from a reel that holds it."""
    black = wire("wire thin-wall 1 mm2 BK", 1.0)
    bill = make_bill((RED, black), described(reel("15 m"), reel("2 m", "BK"), parts={}))
    assert [(plan.colour, plan.part) for plan in bill.plans] == [("RD", ""), ("BK", "")]
    assert [row.taken for row in bill.stock] == [1.0, 14.5]


@pytest.mark.parametrize("lengths", [("14.6 m",), ("9 m", "5.6 m")])
def test_the_cuts_take_two_millimetres_each_and_too_short_reels_leave_the_wire_missing(lengths):
    """Two cuts and 6.0 + 5.5 + 3.0 m take 14.504 m; one cut and 6.0 + 3.0 m take 9.002 m."""
    bill = make_bill((RED,), described(*(reel(length) for length in lengths), parts={}))
    assert bool(bill.missing) == (len(lengths) == 2)


def test_no_reels_say_nothing_and_reels_say_what_they_save():
    assert make_bill((RED,), described()).reels_save is None
    said = " ".join(_kinds(make_bill((RED,), described(reel("6.1 m")))))
    assert "would cost 6.48 EUR more, with carriage and tax." in said
    said = " ".join(_kinds(make_bill((RED,), described())))
    assert "on the shelf" not in said


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"family": "thin-walled"}, "no wire family `thin-walled`"),
        ({"size": "0.6 mm2"}, "is not made in 0.6 mm2"),
        ({"colour": "RD/XX"}, "no colour `XX`"),
        ({"length": "3 A"}, "'A' is not a unit"),
        ({"length": "2 km"}, "1000"),
        ({"metres": "3 m"}, "metres"),
    ],
)
def test_mistakes_are_told_where_they_stand(change, says, tmp_path):
    told_all = trailer()
    told_all["vehicle"]["wire"] = {"reels": [reel("3 m"), {**reel("3 m"), **change}]}
    text = json.dumps(told_all, indent=1)
    (tmp_path / "vehicle.yaml").write_text(text, "utf-8")
    contents, problems = read_folder(tmp_path)
    if contents:
        _, problems = join(contents)
    (problem,) = problems
    assert says in f"{problem.what} {problem.why} {problem.hint}"
    line = text.splitlines()[problem.where.line - 1]
    assert re.search(next(iter(change)), line) and str(next(iter(change.values()))) in line

"""The example's price file: four suppliers, a price missing, one out of date, stock, variants."""

from __future__ import annotations

from decimal import Decimal

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join
from tests.conftest import EXAMPLE


def test_orders_go_to_four_suppliers(lapwing):
    assert len(lapwing.vehicle.description.suppliers) == 4
    assert len([order for order in lapwing.bill.orders if order.supplier]) == 4
    assert not [order for order in lapwing.bill.orders if not order.supplier]


def test_one_price_is_missing_and_nothing_is_unmapped(lapwing):
    assert lapwing.bill.missing == ("part wheel-buttons",)
    assert lapwing.bill.unserved == ()
    assert [o.unpriced for o in lapwing.bill.orders].count(1) == 1


def test_one_price_is_out_of_date(lapwing):
    assert [line.part for line in lapwing.bill.lines if line.old] == ["horn"]
    assert [f.about for f in lapwing.findings if f.rule == "price-old"] == ["horn"]


def test_stock_of_wire_pieces_and_tools_is_used(lapwing):
    taken = {s.part: s.taken for s in lapwing.bill.stock}
    assert taken["HW-T05"] > 3
    assert taken["TI-1"] == 60
    assert taken["TL-OB"] == 1
    owned = [s for plan in lapwing.bill.plans for s in plan.sources if s.owned]
    assert len(owned) >= 2


def test_the_cable_that_is_on_a_reel_is_not_bought(lapwing):
    (reel,) = [s for s in lapwing.bill.stock if not s.part]
    cut = [w.cut_m for w in lapwing.harness.wires.values() if w.circuit == "panel feed"]
    assert 0 < sum(cut) < reel.there == 2.4
    assert abs(reel.taken - sum(cut)) < 0.001
    assert "HW-B25" not in {line.part for line in lapwing.bill.lines if line.packs}
    assert lapwing.bill.reels_save.total > 25


def test_the_least_total_is_proven_and_takes_breaks(lapwing):
    assert lapwing.bill.least
    (contacts,) = [line for line in lapwing.bill.lines if line.part == "FT-15"]
    assert contacts.pack_price == Decimal("5.20") < Decimal("6.30")


def test_three_variants_are_weighed_and_all_hang_together():
    joined = {}
    for variant in ("plain-wire", "solid-state", "tunnel-panel"):
        reading, problems = read_folder(EXAMPLE, variant)
        assert not problems
        joined[variant], problems = join(reading)
        assert not problems
    assert len(reading.description.variants) == 3
    assert joined["plain-wire"].description.vehicle.wire.family == "thin-wall"
    assert joined["tunnel-panel"].devices["F1"].point == "tunnel"
    module, whole = joined["solid-state"].devices, joined["plain-wire"].devices
    assert module["module"].written.part in joined["solid-state"].description.parts
    assert whole.keys() - module.keys() == {
        *("F5", "F6", "F7", "F8"),
        *("K3", "K4", "K5", "K6", "K7"),
    }

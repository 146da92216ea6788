"""What fewer colours of wire would save, by hand."""

from decimal import Decimal
from types import SimpleNamespace

from buildbook.parts.model import BillLine, Cut, CuttingPlan, Need, StockLength
from buildbook.parts.wire_kinds import wire_kinds


def plan(colour, *metres):
    cuts = tuple(Cut(f"{colour}{n}", "h", 0.0, m) for n, m in enumerate(metres))
    reel = StockLength("reel 1", 10.0, False, cuts, 10.0 - sum(metres))
    return CuttingPlan(f"wire thin-wall 0.5 mm2 {colour}", "wire", "W05", "", (reel,), True)


def line(packs, quantity, cost, colours):
    need = Need("wire thin-wall 0.5 mm2", "wire", quantity, "m", ())
    price = None if cost is None else Decimal(cost) / packs
    return BillLine(
        need,
        (need.key,),
        "W05",
        "wire",
        "",
        packs,
        10.0,
        price,
        None if cost is None else Decimal(cost),
        quantity=quantity,
        colours=colours,
    )


COLOURS = (("RD", 1), ("BK", 1), ("WH", 1))


def bill(*lines):
    plans = (plan("RD", 2.0, 2.0), plan("BK", 3.0), plan("WH", 1.0))
    return SimpleNamespace(lines=lines, plans=plans)


def test_three_reels_of_three_colours_are_one_of_one():
    # 4 + 3 + 1 m on three reels of 10 m at 3.05 each: one reel would do
    found = wire_kinds(bill(line(3, 8.0, "9.15", COLOURS)))
    assert (found.kinds, found.for_one, found.colours) == (3, 2, 3)
    assert (found.packs, found.fewest_packs, found.saved) == (3, 1, Decimal("6.10"))


def test_what_has_no_price_saves_none_and_what_is_no_wire_does_not_count():
    screws = line(5, 5.0, "5.00", ())
    found = wire_kinds(bill(line(3, 21.0, None, COLOURS), screws))
    assert (found.packs, found.fewest_packs, found.saved) == (3, 3, Decimal("0.00"))
    assert wire_kinds(SimpleNamespace(lines=(screws,), plans=())) is None

"""What goes into the bag of each harness, and the figures of a variant, counted on paper."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.parts.bill import make_bill
from buildbook.parts.comparison import variant_figures
from buildbook.parts.kits import KitItem, kits, tool_lines
from buildbook.parts.model import Need, PieceToCut, Use
from tests.checks import minimal as m

PARTS = {
    "pins": {"what": "Pin", "serves": "terminal pin-1.5", "price": "0.50", "mass": "2 g"},
    "reel": {"what": "Reel", "serves": "wire thin-wall 1 mm2", "price": "9", "pack": 25},
}


def pieces(key: str, *uses: Use, unit: str = "piece") -> Need:
    return Need(key, f"some {key}", sum(use.quantity for use in uses), unit, uses)


def wire(colour: str, *cut: tuple[str, str, float]) -> Need:
    key = f"wire thin-wall 1 mm2 {colour}"
    uses = tuple(Use(harness, "main", metres) for _, harness, metres in cut)
    return replace(pieces(key, *uses, unit="m"), pieces=tuple(PieceToCut(*one) for one in cut))


WANTED = (
    wire("RD", ("101", "front", 2.5), ("102", "rear", 4.0)),
    wire("BK", ("103", "front", 1.25)),
    pieces("terminal pin-1.5 1 mm2", Use("front", "main", 4), Use("rear", "main", 2)),
    pieces("terminal pin-1.5 2.5 mm2", Use("front", "main", 3)),
    pieces("splice barrel-1", Use("front", "main", 2)),
    pieces("housing two", Use("rear", "main", 1)),
    pieces("fuse blade 5 A", Use("", "main", 3)),
    pieces("tool stripper", Use("", "", 1)),
)


def bill():
    return make_bill(WANTED, m.description(parts=PARTS))


def test_a_bag_holds_what_is_fitted_to_its_harness_by_part():
    """Nine pins of two sizes are one part; wire of one part is told by colour; fuses, tools and
    spares stay out."""
    assert kits(bill()) == {
        "front": (
            KitItem("pins", "Pin", 7, "piece"),
            KitItem("reel", "Reel", 3.75, "m", (("BK", 1.25), ("RD", 2.5))),
            KitItem("", "some splice barrel-1", 2, "piece"),
        ),
        "rear": (
            KitItem("pins", "Pin", 2, "piece"),
            KitItem("reel", "Reel", 4.0, "m", (("RD", 4.0),)),
            KitItem("", "some housing two", 1, "piece"),
        ),
    }


def test_tools_of_the_bench_are_the_tools_on_the_bill():
    assert [line.what for line in tool_lines(bill())] == ["some tool stripper"]


def test_figures_of_a_variant_are_those_of_its_bill_and_its_harness():
    """Three reels, for two pieces of red and one of black fit on one each: 2 x 9; nine pins make
    4.50: 22.50, with a fifth of tax 27.00. Wire of 0.5 mm2 weighs 6.4 g a metre (catalogue)."""
    vehicle = m.vehicle(
        (m.device("K1", "relay", "30 87"), m.device("K2", "relay", "30 87")), parts=PARTS
    )
    cut = (
        m.wire("101", "c", m.end("a"), m.end("b"), 2.5),
        m.wire("102", "c", m.end("c"), m.end("d"), 4.0),
    )
    sizing = m.sizing(m.sized("101"), m.sized("102"))
    said = {"error": 1, "warning": 2, "note": 3}
    found = variant_figures("open", vehicle, m.harness(cut), sizing, bill(), said)
    assert (found.name, found.net, found.total, found.currency) == (
        "open",
        Decimal("22.50"),
        Decimal("27.00"),
        "EUR",
    )
    assert (found.wire_m, found.wires, found.relays) == (6.5, 2, 2)
    assert found.wire_kg == pytest.approx(6.5 * 0.0064)
    assert (found.crimps, found.connectors, found.fuses) == (9 + 2, 1, 3)
    assert (found.parts_kg, found.with_mass) == (pytest.approx(9 * 0.002), 1)
    # Splice, housing, fuses and stripper.
    assert found.without_price == 4
    assert (found.errors, found.warnings, found.notes) == (1, 2, 3)

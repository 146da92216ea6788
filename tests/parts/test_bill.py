"""Needs and costs of a small harness worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.harness.model import Bundle, Splice
from buildbook.parts.bill import make_bill
from buildbook.parts.keys import keys_for
from buildbook.parts.model import Need, PieceToCut, Use
from buildbook.parts.money import amount
from buildbook.parts.needs import needs
from buildbook.parts.spares import failures
from buildbook.sizing.finished_runs import finished_runs
from buildbook.vehicle.model import PassThrough
from tests.checks import minimal as m


def bench():
    """Two wires from a fuse through a splice to a lamp in a sealed plug of three cavities."""
    devices = (
        m.fuse("F1"),
        m.device("lamp", "lamp", "1 2 3", "pin-1.5", point="L", written={"part": "work-lamp"}),
        m.device("G1", "ground", "stud", "ring-M6"),
        m.device("K1", "relay", "30 87 85 86"),
    )
    vehicle = m.vehicle(
        devices,
        {"feed": ("F1.out", "lamp.1"), "return": ("lamp.2", "G1.stud")},
        (m.run("r1", "P", "L", 2.0, clamps=3),),
        rope={"h": {"runs": [{"from": "P", "to": "L", "length": "2 m", "zone": "cabin"}]}},
        parts={"work-lamp": {"what": "Work lamp", "price": "18.00"}},
    )
    plug = {"sealed": True, "rows": [["1", "2", "3"]]}
    wires = (
        m.wire("101a", "feed", m.end("F1.out", contact="blade-6.3"), m.end("S101", "splice"), 1.2),
        m.wire(
            "101b",
            "feed",
            m.end("S101", "splice"),
            m.end("lamp.1", contact="pin-1.5", connector="lamp", cavity="1"),
            0.8,
        ),
        m.wire(
            "102",
            "return",
            m.end("lamp.2", contact="pin-1.5", connector="lamp", cavity="2"),
            m.end("G1.stud", contact="ring-M6"),
            2.0,
            colour="BK",
        ),
    )
    harness = m.harness(
        wires,
        (Splice("S101", "feed", "h", "P", 0.0, ("101a", "101b")),),
        (m.connector("lamp", "lamp-3", "L", **plug),),
        (Bundle("r1", ("101b", "102")),),
    )
    sizing = m.sizing(
        m.sized("101a", "1 mm2"), m.sized("101b"), m.sized("102"), m.rated("F1", 5, 2)
    )
    return vehicle, harness, sizing


@pytest.fixture
def wanted() -> dict[str, Need]:
    return needed(*bench())


def needed(*parts) -> dict[str, Need]:
    return {need.key: need for need in needs(*parts, finished_runs(*parts))}


def test_wire_is_needed_by_size_and_colour_with_a_tenth_over(wanted):
    assert wanted["wire thin-wall 1 mm2 RD"].quantity == pytest.approx(1.2)
    assert wanted["wire thin-wall 0.5 mm2 RD"].wanted == pytest.approx(0.8 * 1.1)
    assert wanted["wire thin-wall 0.5 mm2 BK"].wanted == pytest.approx(2.0 * 1.1)


def test_every_wire_end_in_a_contact_takes_one_terminal(wanted):
    assert wanted["terminal pin-1.5 0.5 mm2"].quantity == 2
    assert wanted["terminal blade-6.3 1 mm2"].quantity == 1
    assert wanted["terminal ring-M6 0.5 mm2"].quantity == 1


def test_sealed_plug_takes_a_seal_a_wire_and_a_blank_for_the_empty_cavity(wanted):
    assert wanted["seal pin-1.5 0.5 mm2"].quantity == 2
    assert wanted["blank pin-1.5"].quantity == 1


def test_unsealed_plug_takes_neither_seal_nor_blank():
    vehicle, harness, sizing = bench()
    bare = {"lamp": m.connector("lamp", "lamp-3", "L", rows=[["1", "2", "3"]])}
    keys = needed(vehicle, replace(harness, connectors=bare), sizing)
    assert not [key for key in keys if key.startswith(("seal", "blank"))]


def test_a_splice_is_bought_as_the_barrel_that_holds_its_copper(wanted):
    # Both wires leave to one side: 1 + 0.5 = 1.5 mm2, in the barrel of 1.5 to 2.5 mm2 (DIN 46341).
    assert [key for key in wanted if key.startswith("splice")] == ["splice barrel-2.5"]
    assert wanted["splice barrel-2.5"].quantity == 1


def test_two_fuses_of_each_rating_are_carried_beside_the_one_fitted(wanted):
    (line,) = make_bill((wanted["fuse blade 5 A"],), m.description()).lines
    assert (line.need.quantity, line.need.carried, line.need.wanted) == (1, 2, 3)


def test_terminals_come_with_a_twentieth_more_and_two_at_least(wanted):
    assert wanted["terminal pin-1.5 0.5 mm2"].spare == 2
    many = replace(wanted["terminal pin-1.5 0.5 mm2"], quantity=61)
    assert failures(many.key, many.quantity, many.unit) == 4


def test_relay_without_a_part_is_still_needed(wanted):
    assert wanted["relay"].quantity == 1
    assert wanted["part work-lamp"].what == "Work lamp"


def test_labels_go_on_both_ends_of_each_wire(wanted):
    assert wanted["label wire"].quantity == 6


def test_two_wires_of_1_6_mm_take_the_3_mm_sleeve_and_clamp_of_the_covered_bundle(wanted):
    # Two circles side by side: 2 * 1.6 = 3.2 mm; sleeve wall 0.5 mm makes 4.2 mm (geometry).
    # Braid is cut a tenth longer than its run of 2 m.
    assert wanted["sleeve braid-3"].quantity == pytest.approx(2.2)
    assert wanted["sleeve braid-3"].spare == pytest.approx(0.33)
    assert wanted["clamp cushioned-5"].quantity == 3


def test_each_length_of_cable_is_as_long_as_its_longest_core():
    """Beyond the splice the pair is a second length, cut on its own as the bench does."""
    vehicle, harness, sizing = bench()
    cable = {"pair": {"type": "twisted pair", "cores": ["feed", "return"]}}
    runs = {"101a": ("near",), "102": ("near",), "101b": ("far",)}
    wires = {key: replace(w, cable="pair", runs=runs[key]) for key, w in harness.wires.items()}
    vehicle = replace(
        vehicle, description=m.description(cables=cable, rope={"h": {"runs": []}}, parts={})
    )
    found = needed(vehicle, replace(harness, wires=wires), sizing)
    lengths = {piece.id: piece.length_m for piece in found["cable twisted pair"].pieces}
    assert lengths == {"pair-1": 2.0, "pair-2": 0.8}
    assert not [key for key in found if key.startswith("wire ")]


def test_the_half_with_pins_is_the_mate_of_the_one_with_sockets():
    genders = {"a": "pin", "b": "socket"}
    halves = tuple(
        replace(m.connector(f"X1/{h}", "bulk-2", device="X1", harness=h), gender=gender)
        for h, gender in genders.items()
    )
    passing = PassThrough("X1", "P", ("a", "b"), "bulk-2", m.plug(), {}, False, m.HERE)
    vehicle = replace(m.vehicle(), pass_throughs=(passing,))
    found = needed(vehicle, m.harness(connectors=halves), m.sizing())
    assert [use.harness for use in found["housing bulk-2 mate"].uses] == ["a"]


@pytest.mark.parametrize(("exists", "mates"), [(False, 1), (True, 0)])
def test_second_half_of_a_pass_through_is_a_mate_unless_it_exists(exists, mates):
    halves = tuple(m.connector(f"X1/{h}", "bulk-2", device="X1", harness=h) for h in ("a", "b"))
    passing = PassThrough("X1", "P", ("a", "b"), "bulk-2", m.plug(), {}, exists, m.HERE)
    vehicle = replace(m.vehicle(), pass_throughs=(passing,))
    found = needed(vehicle, m.harness(connectors=halves), m.sizing())
    assert found["housing bulk-2"].quantity == 1
    assert ("housing bulk-2 mate" in found) == bool(mates)


@pytest.mark.parametrize("text", [None, "about 3", "-1", "NaN", "Infinity"])
def test_a_price_that_is_no_amount_is_missing(text):
    assert amount(text) is None


def test_wire_key_falls_back_to_any_colour():
    assert keys_for("wire thin-wall 0.5 mm2 RD")[1] == "wire thin-wall 0.5 mm2"


SHOP = {
    "suppliers": {
        "near": {"name": "Near", "carriage": "4.50"},
        "far": {"name": "Far", "carriage": "20"},
    },
    "parts": {
        "reel": {
            "what": "Reel",
            "serves": "wire thin-wall 0.5 mm2",
            "supplier": "near",
            "price": "8.40",
            "pack": 25,
        },
        "pins": {"what": "Pins", "serves": "terminal pin-1.5", "supplier": "near", "price": "0.11"},
        "gold-pins": {
            "what": "Gold pins",
            "serves": "terminal pin-1.5",
            "supplier": "far",
            "price": "0.90",
        },
        "cap": {"what": "Cap", "serves": "end cap", "supplier": "far"},
    },
}


def need(key: str, quantity: float, unit: str = "piece") -> Need:
    pieces = (PieceToCut("101", "h", quantity / 2), PieceToCut("102", "h", quantity / 2))
    uses = (Use("h", "main", quantity),)
    return Need(key, key, quantity, unit, uses, pieces=pieces if unit == "m" else ())


def test_bill_adds_packs_carriage_of_suppliers_used_and_tax():
    wanted = (
        need("wire thin-wall 0.5 mm2 RD", 26, "m"),
        need("wire thin-wall 0.5 mm2 BK", 3, "m"),
        need("terminal pin-1.5", 30),
        need("terminal pin-1.5 mate", 10),
        need("end cap", 2),
        need("tie", 5),
    )
    bill = make_bill(wanted, m.description(**SHOP))
    # Red 2 reels 16.80, black 1 reel 8.40, 40 pins 4.40: 29.60; carriage 4.50; 20 % of 34.10.
    assert bill.net == Decimal("29.60")
    assert bill.carriage == Decimal("4.50")
    assert bill.tax == Decimal("6.82")
    assert bill.total == Decimal("40.92")
    assert bill.missing == ("end cap", "tie")
    assert bill.by_kind == {
        "wire and cable": Decimal("25.20"),
        "terminals and seals": Decimal("4.40"),
    }


def test_missing_price_is_none_and_not_zero():
    (line,) = make_bill((need("end cap", 2),), m.description(**SHOP)).lines
    assert (line.part, line.pack_price, line.cost) == ("cap", None, None)


def test_pieces_of_one_part_share_packs():
    parts = {"pins": {"what": "Pins", "serves": "terminal ring-M6", "price": "5", "pack": 10}}
    wanted = (need("terminal ring-M6 1 mm2", 6), need("terminal ring-M6 4 mm2", 3))
    (line,) = make_bill(wanted, m.description(parts=parts)).lines
    assert (line.packs, line.cost, line.need.quantity) == (1, Decimal("5"), 9)


def test_sizes_named_one_by_one_share_packs_too():
    keys = ["terminal ring-M6 1 mm2", "terminal ring-M6 4 mm2"]
    parts = {"rings": {"what": "Rings", "serves": keys, "price": "5", "pack": 10}}
    (line,) = make_bill((need(keys[0], 6), need(keys[1], 3)), m.description(parts=parts)).lines
    assert (line.need.key, line.packs) == ("terminal ring-M6 (1 mm2, 4 mm2)", 1)


def test_names_that_begin_differently_stand_side_by_side():
    named = {"terminal pin-1.5": "Terminal pin-1.5", "terminal pin-1.5 mate": "Mating terminal"}
    wanted = tuple(replace(need(key, 2), what=what) for key, what in named.items())
    (line,) = make_bill(wanted, m.description(**SHOP)).lines
    assert line.need.what == "Terminal pin-1.5, Mating terminal"


def test_each_colour_of_wire_is_a_reel_of_its_own():
    wanted = (need("wire thin-wall 0.5 mm2 RD", 2, "m"), need("wire thin-wall 0.5 mm2 BK", 2, "m"))
    (line,) = make_bill(wanted, m.description(**SHOP)).lines
    assert (line.packs, line.colours) == (2, (("RD", 1), ("BK", 1)))


def test_reels_of_all_colours_count_together_towards_a_price_break():
    shop = {"parts": {"reel": {**SHOP["parts"]["reel"], "supplier": "near", "breaks": {2: "7"}}}}
    wanted = (need("wire thin-wall 0.5 mm2 RD", 2, "m"), need("wire thin-wall 0.5 mm2 BK", 2, "m"))
    (line,) = make_bill(wanted, m.description(**{**SHOP, **shop})).lines
    assert (line.packs, line.cost) == (2, Decimal("14.00"))

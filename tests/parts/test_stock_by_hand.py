"""Who takes what is there already, and what is then said of the shelf, on paper."""

from __future__ import annotations

from buildbook.parts.model import Need, PieceToCut, Stock
from buildbook.parts.stock import StockTaken, take_stock
from tests.checks import minimal as m

REELS = [
    {"size": "1 mm2", "colour": "RD", "length": "9 m"},
    {"size": "1 mm2", "colour": "RD", "length": "4 m"},
    {"size": "2.5 mm2", "colour": "BK", "length": "6 m"},
]
PARTS = {
    "ring": {"what": "Rings", "serves": ["ring M4", "ring M5"], "owned": [5, 2]},
    "braid": {"what": "Braid", "serves": "sleeve braid-6", "owned": ["2 m", "1.5 m"]},
    "wire": {"what": "Wire", "serves": "wire thin-wall 1 mm2", "owned": ["8 m RD", "3 m BU"]},
    "none": {"what": "None", "serves": "ring M4"},
    "idle": {"what": "Idle", "serves": "screw", "owned": 40},
}


def wire(colour: str) -> Need:
    key = f"wire thin-wall 1 mm2 {colour}"
    return Need(key, key, 3.0, "m", pieces=(PieceToCut("101", "h", 3.0),))


def taken(*wanted: Need, reels=()) -> StockTaken:
    wires = {"reels": list(reels)}
    told = m.description(
        vehicle={"name": "Bench", "date": "2026-03-01", "wire": wires}, parts=PARTS
    )
    return take_stock(wanted, told.parts, told.vehicle.wire)


def test_needs_take_pieces_and_metres_in_turn_until_the_shelf_is_empty():
    """Seven rings: six go to the first need, spares and all, and one is left for the second.
    Sleeve needs no plan of cuts: 3.5 m are there, 2.5 m are taken."""
    found = taken(
        Need("ring M4", "Ring", 4, "piece", spare=2),
        Need("ring M5", "Ring", 3, "piece"),
        Need("sleeve braid-6", "Braid", 2.5, "m"),
    )
    assert found.taken == {"ring M4": 6, "ring M5": 1, "sleeve braid-6": 2.5}
    assert found.lengths == {}
    assert found.stock == (
        Stock("ring", "Rings", 7, 7, "piece"),
        Stock("braid", "Braid", 3.5, 2.5, "m", (1.5, 2.0)),
        Stock("wire", "Wire", 11, 0, "m", (3.0, 8.0)),
        Stock("idle", "Idle", 40, 0, "piece"),
    )


def test_a_length_goes_to_wire_of_its_colour_and_a_reel_to_the_very_wire_that_it_is():
    """Nothing is taken yet: that is what the plan of cuts finds out."""
    found = taken(wire("BU"), wire("RD"), wire("GN"), reels=REELS)
    assert found.taken == {}
    assert found.lengths == {
        "wire thin-wall 1 mm2 BU": ((3.0, "wire"),),
        "wire thin-wall 1 mm2 RD": ((8.0, "wire"), (4.0, ""), (9.0, "")),
    }
    assert found.stock[-2:] == (
        Stock("", "thin-wall 1 mm2 RD", 13, 0, "m", (4.0, 9.0), "wire thin-wall 1 mm2 RD"),
        Stock("", "thin-wall 2.5 mm2 BK", 6, 0, "m", (6.0,), "wire thin-wall 2.5 mm2 BK"),
    )

"""What covers, ends, devices and lugs need, counted on paper.

Spacing of ties, share of failures and the tool from 10 mm2 on are common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from buildbook.catalogue.load import sleeves
from buildbook.harness.finishing import FinishedRun
from buildbook.parts.bill import make_bill
from buildbook.parts.comparison import parts_mass_kg, variant_figures
from buildbook.parts.cover_needs import cover_mm
from buildbook.parts.mass import harness_masses
from buildbook.parts.model import Need, Use
from buildbook.parts.needs import needs
from buildbook.parts.spares import failures
from buildbook.parts.tools import crimper, tools
from tests.checks import minimal as m


def finished(run: str, cover: str, bare_mm: float, sleeve: str = "") -> FinishedRun:
    made = sleeves()[sleeve] if sleeve else None
    return FinishedRun(
        run, "h", (), None, None, bare_mm, cover, made, True, bare_mm, None, 0.0, None, 6.0
    )


def counted(vehicle, harness=None, dressed=None) -> dict[str, float]:
    harness = harness or m.harness()
    sizing = m.sizing(*(m.sized(wire) for wire in harness.wires))
    return {n.key: n.quantity for n in needs(vehicle, harness, sizing, dressed or {})}


def pieces(key: str, *uses: Use) -> Need:
    return Need(key, key, sum(use.quantity for use in uses), "piece", uses)


@pytest.mark.parametrize(("length_m", "ties"), [(2.0, 13), (0.29, 1), (0.14, None)])
def test_a_tie_at_every_full_150_mm(length_m, ties):
    """13 * 0.15 = 1.95 m; the fourteenth would be at 2.10 m, past the end of 2.00 m."""
    vehicle = m.vehicle(runs=(m.run("r1", "P", "L", length_m),))
    assert counted(vehicle, dressed={"r1": finished("r1", "none", 3.0)}).get("tie") == ties


@pytest.mark.parametrize(
    ("cover", "length_m", "cut_mm"),
    [
        ("heat-shrink", 0.521, 525),
        ("heat-shrink", 0.520, 520),
        ("braided sleeve", 0.300, 330),
        ("braided sleeve", 0.301, 335),
        ("tape", 1.0, 995),
        ("none", 1.0, 0),
    ],
)
def test_cover_is_cut_to_the_next_5_mm(cover, length_m, cut_mm):
    """Braid a tenth longer: 301 * 1.1 = 331.1. Tape 19 mm wide, half lapped, round 3 mm for 1 m:
    2 * 1000 * 3 pi / 19 = 992.08 mm (geometry)."""
    assert 2 * 1000 * 3 * math.pi / 19 == pytest.approx(992.08, abs=0.01)
    assert cover_mm(finished("r1", cover, 3.0), length_m) == cut_mm


def test_one_cap_for_one_insulated_end():
    wire = m.wire("101", "spare", m.end("F1.out", contact="blade-6.3"), m.end("101.cap", "capped"))
    vehicle = m.vehicle((m.fuse("F1"),), {"spare": ("F1.out",)})
    found = counted(vehicle, m.harness((wire,)))
    assert (found["end cap"], found["terminal blade-6.3 0.5 mm2"]) == (1, 1)


def test_a_relay_on_a_panel_takes_no_base_of_its_own():
    pins = "30 87 85 86"
    relays = m.device("K1", "relay", pins), m.device("K2", "relay", pins, panel="board")
    found = counted(m.vehicle(relays))
    assert (found["relay"], found["base relay"]) == (2, 1)


@pytest.mark.parametrize(
    ("size", "more", "tool"),
    [
        ("6 mm2", 2, "tool ring"),
        ("10 mm2", 1, "tool lug"),
        ("16 mm2", 1, "tool lug"),
        ("AWG 8", 2, "tool ring"),
        ("AWG 6", 1, "tool lug"),
        ("AWG 4/0", 1, "tool lug"),
    ],
)
def test_a_lug_from_10_mm2_has_its_own_tool_and_one_more_is_bought(size, more, tool):
    """AWG 8 is 8.37 mm2, AWG 6 13.30 and AWG 4/0 107.2 (ASTM B258)."""
    key = f"terminal ring-M8 {size}"
    assert failures(key, 4, "piece") == more
    assert crimper(key)[0] == tool


@pytest.mark.parametrize(
    ("contact", "wanted"),
    [
        ("pin-2.8", {"tool open-barrel", "tool extractor pin-2.8"}),
        ("blade-6.3", {"tool open-barrel"}),
        ("size-16", {"tool four-indent", "tool extractor size-16"}),
        ("ring-M8", {"tool ring"}),
        ("unheard-of", set()),
    ],
)
def test_a_contact_calls_for_its_crimp_tool_and_in_a_cavity_for_its_extractor(contact, wanted):
    """Open barrels are rolled in, turned contacts pressed from four sides; both sorts of pins are
    taken out of their cavity with a tool of their own (common practice, no source)."""
    assert {t.key for t in tools([f"terminal {contact} 1 mm2"])} == wanted


WEIGHED = {
    "vehicle": {"name": "Bench", "date": "2026-03-01", "tax": "20 %"},
    "rope": {
        "h": {"runs": [{"from": "P", "to": "L", "length": "2 m", "zone": "cabin"}]},
        "g": {"runs": [{"from": "P", "to": "M", "length": "1 m", "zone": "cabin"}]},
    },
    "parts": {
        "pin": {"what": "Pin", "serves": "terminal pin-1.5", "price": "1", "mass": "2 g"},
        "shell": {"what": "Shell", "serves": "housing two", "price": "1", "mass": "30 g"},
        "clip": {"what": "Clip", "serves": "clamp c", "price": "1", "mass": "5 g"},
        "tie": {"what": "Tie", "serves": "tie", "price": "1"},
    },
}


def weighed():
    """7 pins of 2 g and 3 shells of 30 g in h, 1 pin and a clip of 5 g in g, 20 ties unweighed."""
    vehicle = m.vehicle((), {}, (m.run("r1", "P", "L", 2.0), m.run("r2", "L", "M", 0.5)), **WEIGHED)
    wanted = (
        pieces("terminal pin-1.5 1 mm2", Use("h", "main", 7), Use("g", "main", 1)),
        pieces("housing two", Use("h", "main", 3)),
        pieces("clamp c", Use("g", "", 1)),
        pieces("tie", Use("h", "", 20)),
        pieces("splice barrel-1", Use("h", "main", 4)),
    )
    return vehicle, make_bill(wanted, vehicle.description)


def test_a_harness_weighs_every_piece_of_a_part_and_every_metre_of_cover():
    """Braid of polyester of 1380 kg/m3, half open (from memory): a tube of 0.5 mm round 4 mm."""
    vehicle, bill = weighed()
    wire = m.wire("101", "c", m.end("a"), m.end("b"), 4.0)
    dressed = {r: finished(r, "braided sleeve", 4.0, "braid-3") for r in ("r1", "r2")}
    found = harness_masses(vehicle, m.harness((wire,)), m.sizing(m.sized("101")), dressed, bill)
    assert found["h"].connectors_kg == pytest.approx(7 * 0.002 + 3 * 0.030)
    assert (found["h"].others_kg, found["h"].unweighed) == (0, 2)
    assert found["g"].connectors_kg == pytest.approx(0.002)
    assert found["g"].others_kg == pytest.approx(0.005)
    tube_kg_per_m = 1380 / 2 * math.pi * 0.0045 * 0.0005
    assert found["h"].covers_kg == pytest.approx(2.5 * tube_kg_per_m, rel=0.02)
    assert found["g"].covers_kg == found["g"].wires_kg == 0
    copper_kg = 4.0 * 0.5e-6 * 8960
    assert copper_kg < found["h"].wires_kg < 2 * copper_kg


@pytest.mark.parametrize(
    ("cover", "key", "others_kg"),
    [("tape", "tape tape-19", 0.0), ("heat-shrink", "heat-shrink shrink-6", 0.001)],
)
def test_a_cover_that_was_weighed_as_such_is_not_weighed_as_a_part_beside(cover, key, others_kg):
    """2 m along a run are its cover; of shrink of 20 g a metre, 50 mm more lie over a splice."""
    rope = {"h": {**WEIGHED["rope"]["h"], "cover": cover}}
    parts = {"cover": {"what": "Cover", "serves": key, "mass": "20 g"}}
    vehicle = m.vehicle((), {}, (m.run("r1", "P", "L", 2.0),), rope=rope, parts=parts)
    over = (Use("h", "main", 0.05),) if cover == "heat-shrink" else ()
    need = replace(pieces(key, Use("h", "", 2.0), *over), unit="m")
    bill = make_bill((need,), vehicle.description)
    dressed = {"r1": finished("r1", cover, 4.0, key.partition(" ")[2])}
    (found,) = harness_masses(vehicle, m.harness(), m.sizing(), dressed, bill).values()
    assert found.covers_kg > 0
    assert (found.others_kg, found.unweighed) == (pytest.approx(others_kg), 0)


def test_parts_weigh_as_many_as_are_fitted():
    """8 pins, 3 shells, 1 clip: 16 + 90 + 5 g, of three parts whose mass is written."""
    vehicle, bill = weighed()
    assert parts_mass_kg(vehicle, bill) == (pytest.approx(0.111), 3)


STRAY = {"what": "Screw", "serves": ["screw M4", "screw M5"], "mass": "1 g"}


@pytest.mark.parametrize(
    "parts",
    [
        {
            "few": {**STRAY, "price": "2.50", "pack": 10},
            "many": {**STRAY, "price": "8.00", "pack": 50},
        },
        {"some": {**STRAY, "price": "1.00", "owned": 25}},
    ],
    ids=["from two packs", "one need of stock and one bought"],
)
def test_a_piece_is_weighed_once_however_it_is_bought(parts):
    """20 and 40 screws of 1 g: from a pack of ten beside one of fifty, or the first 20 of stock."""
    wanted = pieces("screw M4", Use("h", "", 20)), pieces("screw M5", Use("h", "", 40))
    vehicle = m.vehicle(**{**WEIGHED, "parts": parts})
    bill = make_bill(wanted, vehicle.description)
    assert len(bill.lines) == 2
    assert parts_mass_kg(vehicle, bill)[0] == pytest.approx(0.060)
    assert harness_masses(vehicle, m.harness(), m.sizing(), {}, bill)["h"].others_kg == (
        pytest.approx(0.060)
    )


def test_crimps_of_a_variant_are_its_terminals_and_its_splices():
    vehicle, bill = weighed()
    none = dict.fromkeys(("error", "warning", "note"), 0)
    figures = variant_figures("v", vehicle, m.harness(), m.sizing(), bill, none)
    assert (figures.crimps, figures.connectors) == (8 + 4, 3)
    without = replace(bill, needs=tuple(n for n in bill.needs if "splice" not in n.key))
    assert variant_figures("v", vehicle, m.harness(), m.sizing(), without, none).crimps == 8

"""Every step of the sheet of one small harness, as somebody would write it down on paper.

Resistance, diameter and strip lengths are the catalogue's; tools, shrink and minutes are common
practice, no source; pull is IEC 60352-2, table 1 (from memory).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.cut_list import addends_mm
from buildbook.bench.model import BuildSheet
from buildbook.harness.model import SHORT, Addend
from buildbook.vehicle.model import PassThrough
from tests.bench.test_one_harness_by_hand import on_paper, plugged
from tests.checks import minimal as m

OPEN_BARREL = "Crimp tool for open-barrel contacts"
RING = "Crimp tool for ring terminals up to 6 mm2"
OF_G = m.run("g1", "P", "L", harness="g")
LUG = "Hexagon crimp tool for lugs from 10 mm2"


@pytest.fixture
def sheet() -> BuildSheet:
    """101a comes to the splice at L from P."""
    vehicle, harness, sizing, runs = on_paper()
    harness.wires["101a"] = replace(harness.wires["101a"], points=("P", "L"))
    return build_sheet(vehicle, harness, sizing, runs, "h")


def test_cuts_by_family_colour_and_size_the_longest_first(sheet):
    assert [(c.name, c.family, c.colour, c.size, c.cut_mm, c.addends) for c in sheet.cuts] == [
        ("103", "battery", "BK", "10 mm2", 3500, (("rope", 3500),)),
        ("102", "thin-wall", "BK", "1 mm2", 2500, (("rope", 2500),)),
        ("101a", "thin-wall", "RD", "1 mm2", 2200, (("rope", 2200),)),
        ("104", "thin-wall", "RD", "1 mm2", 500, (("rope", 500),)),
        ("101b", "thin-wall", "RD", "1 mm2", 300, (("rope", 300),)),
    ]


def test_of_one_colour_the_thinner_is_cut_before_the_longer():
    vehicle, harness, sizing, runs = on_paper()
    sizing.wires["104"] = m.sized("104", "0.5 mm2")
    red = [c for c in build_sheet(vehicle, harness, sizing, runs, "h").cuts if c.colour == "RD"]
    assert [(c.name, c.cut_mm) for c in red] == [("104", 500), ("101a", 2200), ("101b", 300)]


def test_parts_of_a_cut_are_added_up_by_kind_and_less_than_a_tenth_of_a_mm_is_none():
    parts = (
        Addend("P to L", 1.2, "rope"),
        Addend("L to M", 0.8, "rope"),
        Addend("crimp at P", 0.006, "crimp"),
        Addend("lay", 0.00004, "lay"),
        Addend("crimp at M", 0.00454, "crimp"),
        Addend("to the cover", 0.03, "of its own"),
    )
    wire = replace(m.wire("1", "c", m.end("a"), m.end("b")), addends=parts)
    assert addends_mm(wire) == (("rope", 2000), ("crimp", 10.5), ("to the cover", 30))


@pytest.mark.parametrize("cable", ["", "pair"])
def test_a_way_that_nothing_measured_is_marked_as_a_guess(cable):
    vehicle, harness, sizing, runs = on_paper()
    types = {"pair": {"type": "twisted pair", "cores": ["feed"]}}
    told = m.description(cables=types, rope={"h": {"runs": []}}, parts={})
    short = Addend("between two pins", 2.2, SHORT)
    harness.wires["101a"] = replace(harness.wires["101a"], addends=(short,), cable=cable)
    sheet = build_sheet(replace(vehicle, description=told), harness, sizing, runs, "h")
    (guessed,) = [row for row in sheet.cuts if row.guessed]
    assert (guessed.name, guessed.addends) == (cable or "101a", (("estimate", 2200),))


def test_a_cable_is_cut_as_its_longest_core_and_comes_after_all_wires():
    vehicle, harness, sizing, runs = on_paper()
    cable = {"pair": {"type": "twisted pair", "cores": ["feed", "ground"]}}
    vehicle = replace(
        vehicle,
        description=m.description(cables=cable, rope={"h": {"runs": []}}, parts={}),
    )
    for name in ("101a", "102"):
        harness.wires[name] = replace(harness.wires[name], cable="pair", runs=("r1",))
    *wires, last = build_sheet(vehicle, harness, sizing, runs, "h").cuts
    assert [row.name for row in wires] == ["103", "104", "101b"]
    assert (last.name, last.family, last.colour, last.size) == ("pair", "twisted pair", "", "1 mm2")
    assert (last.cut_mm, [w.id for w in last.wires]) == (2500, ["101a", "102"])


def test_a_label_says_where_its_end_goes_and_where_the_other_does(sheet):
    """1.15 times 2.1 mm is more than 2.4 mm; times 6.5 mm 7.5 mm: sleeves of 3.2 and 9.5 mm."""
    assert [(x.wire.id, x.end, x.text, x.sleeve) for x in sheet.labels] == [
        ("101a", "a", "101a F1.out < S101", "3.2 mm"),
        ("101a", "b", "101a S101 < F1.out", "3.2 mm"),
        ("101b", "a", "101b S101 < lamp.1", "3.2 mm"),
        ("101b", "b", "101b lamp.1 < S101", "3.2 mm"),
        ("102", "a", "102 lamp.2 < G1.stud", "3.2 mm"),
        ("102", "b", "102 G1.stud < lamp.2", "3.2 mm"),
        ("103", "a", "103 G1.stud < M1.stud", "9.5 mm"),
        ("103", "b", "103 M1.stud < G1.stud", "9.5 mm"),
        ("104", "a", "104 lamp.3 < cap P", "3.2 mm"),
        ("104", "b", "104 cap P < lamp.3", "3.2 mm"),
    ]


def test_a_splice_is_made_of_wires_that_come_from_somewhere(sheet):
    """2 mm2 in a barrel of 8 mm, with 12 mm of insulation at both ends; two wires are 4.2 mm."""
    (step,) = sheet.splices
    assert [(w.id, size, comes) for w, size, comes in step.wires] == [
        ("101a", "1 mm2", "P"),
        ("101b", "1 mm2", "L"),
    ]
    assert (step.shrink, step.shrink_mm, step.joint.barrel.id) == ("shrink-6", 32, "barrel-2.5")


def test_splices_are_made_from_the_datum_outwards_and_by_number_where_they_meet():
    """M lies 3 m from P, and the first of all 1.9 m."""
    vehicle, harness, sizing, runs = on_paper()
    first = harness.splices["S101"]
    for name, point in (("S100", "M"), ("S103", "P"), ("S102", "P")):
        harness.splices[name] = replace(first, id=name, point=point, run="")
    steps = build_sheet(vehicle, harness, sizing, runs, "h").splices
    assert [(s.splice.id, s.from_datum_mm) for s in steps] == [
        ("S102", 0),
        ("S103", 0),
        ("S101", 1900),
        ("S100", 3000),
    ]


def test_an_end_that_is_not_used_is_capped_under_50_mm_of_shrink(sheet):
    assert [(w.id, end.node, size, mm) for w, end, size, mm in sheet.caps] == [
        ("104", "104.cap", "shrink-3", 50)
    ]


def test_runs_are_covered_from_the_datum_outwards(sheet):
    """Braid a tenth longer than its 2 m, its ends held round 4 mm; the other run stays bare."""
    assert sheet.datum == "P"
    assert [(s.run.id, s.from_datum_mm, s.sleeve_mm, s.end_shrink) for s in sheet.dressing] == [
        ("r1", 0, 2200, "shrink-6"),
        ("r2", 2000, 0, ""),
    ]


def test_ends_stand_by_their_distance_from_the_datum_and_in_the_order_of_the_cavities(sheet):
    found = {
        (t.name, t.title, t.housing, t.point): [
            (r.cavity, r.wire.id, r.size, r.strip_mm, r.terminal, r.tool, r.pull_n) for r in t.rows
        ]
        for t in sheet.terminations
    }
    pin = "1 mm2", 4.5, "Terminal pin-1.5", OPEN_BARREL, 108
    small = "1 mm2", 10, "Ring terminal M6", RING, 108
    large = "10 mm2", 10, "Ring terminal M6", LUG, 380
    assert list(found.items()) == [
        (
            ("F1", "F1", "", "P"),
            [("out", "101a", "1 mm2", 7, "Terminal blade-6.3", OPEN_BARREL, 108)],
        ),
        (("G1", "G1", "", "P"), [("stud", "102", *small), ("stud", "103", *large)]),
        (
            ("lamp", "lamp", "lamp-3", "L"),
            [("1", "101b", *pin), ("2", "102", *pin), ("3", "104", *pin)],
        ),
        (("M1", "M1", "", "M"), [("stud", "103", *large)]),
    ]
    assert not [r for t in sheet.terminations for r in t.rows if r.seal]
    assert {(t.blanks, t.boot, t.takes) for t in sheet.terminations} == {((), "", ())}


def test_a_sealed_plug_takes_seals_blanks_a_boot_and_what_belongs_to_it():
    """The lowest cavity comes last though its wire is the first; a shell of 60 mm finds no boot."""
    vehicle, harness, sizing, runs = on_paper()
    plug = {
        "sealed": True,
        "rows": [["3", "2"], ["4", "1"]],
        "takes": ["lock", "backshell"],
        "shell": "60 mm",
    }
    harness.connectors["lamp"] = m.connector("lamp", "lamp-4", "L", **plug)
    (lamp,) = [
        t for t in build_sheet(vehicle, harness, sizing, runs, "h").terminations if t.connector
    ]
    assert [(r.cavity, r.seal) for r in lamp.rows] == [
        ("3", "pin-1.5"),
        ("2", "pin-1.5"),
        ("1", "pin-1.5"),
    ]
    assert (lamp.blanks, lamp.takes) == (("4",), ("lock", "backshell"))
    assert lamp.boot == "none in the catalogue fits"


def test_the_half_with_pins_is_closed_with_mating_terminals_by_whom_it_belongs_to():
    """The first half has sockets, as plugs of devices have, the second the mates of these."""
    vehicle, harness, sizing, runs = on_paper()
    for half, name in (("h", "102"), ("g", "105")):
        end = m.end(f"X1.1/{half}", "half", connector=f"X1/{half}", cavity="1", contact="pin-1.5")
        harness.wires[name] = replace(harness.wires["102"], id=name, harness=half, b=end)
        sizing.wires[name] = sizing.wires["102"]
        harness.connectors[f"X1/{half}"] = m.connector(
            f"X1/{half}", "bulk-2", device="X1", harness=half, sealed=True, rows=[["1", "2"]]
        )
    passing = PassThrough("X1", "P", ("h", "g"), "bulk-2", m.plug(), {}, False, m.HERE)
    vehicle = replace(vehicle, pass_throughs=(passing,), runs=(*vehicle.runs, OF_G))
    told = {}
    for name in ("h", "g"):
        sheets = build_sheet(vehicle, harness, sizing, runs, name).terminations
        (told[name],) = [t for t in sheets if t.name == f"X1/{name}"]
    assert {name: (t.housing, t.rows[0].terminal, t.blanks) for name, t in told.items()} == {
        "h": ("bulk-2", "Terminal pin-1.5", ("2",)),
        "g": ("bulk-2 mate", "Mating terminal pin-1.5", ("2",)),
    }


def test_a_plug_that_another_harness_builds_takes_its_blanks_there():
    """One wire of g goes into the lamp, whose first wires are of h."""
    vehicle, harness, sizing, runs = on_paper()
    plug = {"sealed": True, "rows": [["1", "2", "3", "4", "5"]]}
    harness.connectors["lamp"] = m.connector("lamp", "lamp-5", "L", **plug)
    harness.wires["105"] = replace(harness.wires["104"], id="105", harness="g", a=plugged("4"))
    sizing.wires["105"] = sizing.wires["104"]
    vehicle = replace(vehicle, runs=(*vehicle.runs, OF_G))
    blanks = {
        name: sheet.blanks
        for name in ("g", "h")
        for sheet in build_sheet(vehicle, harness, sizing, runs, name).terminations
        if sheet.name == "lamp"
    }
    assert blanks == {"g": (), "h": ("5",)}


def test_a_splice_of_too_much_copper_is_lugs_on_a_stud():
    """Twice 95 mm2 from one side; two cables of 18 mm are 36 mm, where the last shrink ends."""
    vehicle, harness, sizing, runs = on_paper()
    for name in ("101a", "101b"):
        sizing.wires[name] = m.sized(name, "95 mm2", family="battery")
    sheet = build_sheet(vehicle, harness, sizing, runs, "h")
    (step,) = sheet.splices
    assert (step.joint.kind, step.shrink, step.shrink_mm) == ("bolted", "shrink-40", 50)
    assert [c.size for c in sheet.crimps if c.terminal == "Splice"] == ["lugs on an insulated stud"]


def test_crimps_are_counted_by_tool_terminal_and_size_and_splices_come_last(sheet):
    assert [(c.tool, c.terminal, c.size, c.count) for c in sheet.crimps] == [
        (OPEN_BARREL, "Terminal blade-6.3", "1 mm2", 1),
        (OPEN_BARREL, "Terminal pin-1.5", "1 mm2", 3),
        (RING, "Ring terminal M6", "1 mm2", 1),
        (LUG, "Ring terminal M6", "10 mm2", 2),
        ("Crimp tool for splices", "Splice", "copper barrel 1.5 to 2.5 mm2", 1),
    ]


def test_a_probing_reads_the_copper_of_the_wires_on_its_way(sheet):
    """0.0195 ohm/m of 1 mm2 and 0.00191 of 10 mm2 (IEC 60228): 2.5 m, 2.5 m and 3.5 m."""
    read = {net.wires: [(p.by, p.ohms) for p in net.others] for net in sheet.nets}
    assert read == {
        ("101a", "101b"): [(("101a", "101b"), pytest.approx(0.04875))],
        ("102",): [(("102",), pytest.approx(0.04875))],
        ("103",): [(("103",), pytest.approx(0.006685))],
        ("104",): [],
    }


def test_of_wires_side_by_side_the_meter_reads_the_best():
    """0.3 m of 10 mm2 between two of 1 mm2, from the splice on: 2.2 m and that."""
    vehicle, harness, sizing, runs = on_paper()
    for name, size, family in (("101c", "10 mm2", "battery"), ("101d", "1 mm2", "thin-wall")):
        harness.wires[name] = replace(harness.wires["101b"], id=name)
        sizing.wires[name] = m.sized(name, size, family=family)
    (feed,) = [
        n for n in build_sheet(vehicle, harness, sizing, runs, "h").nets if n.circuit == "feed"
    ]
    (probing,) = feed.others
    assert probing.by == ("101a", "101c")
    assert probing.ohms == pytest.approx(2.2 * 0.0195 + 0.3 * 0.00191)
    assert feed.wires == ("101a", "101b", "101c", "101d")
    assert [w.id for w in probing.to.wires] == ["101b", "101c", "101d"]


def test_nets_stand_by_the_numbers_of_their_circuits_and_not_by_what_wires_are_called():
    vehicle, harness, sizing, runs = on_paper()
    harness.wires["1000"] = replace(harness.wires.pop("104"), id="1000")
    sizing.wires["1000"] = sizing.wires["104"]
    nets = build_sheet(vehicle, harness, sizing, runs, "h").nets
    assert [n.wires[0] for n in nets] == ["101a", "102", "103", "1000"]


def test_the_way_of_least_ohms_may_be_the_one_over_more_wires():
    """3 m of 1 mm2 straight to the lamp, or twice 0.3 m of 10 mm2 over another splice."""
    vehicle, harness, sizing, runs = on_paper()
    thin, other = harness.wires["101b"], m.end("S102", "splice")
    harness.wires["101b"] = replace(thin, addends=(Addend("rope", 3.0),))
    harness.wires["101c"] = replace(thin, id="101c", b=other)
    harness.wires["101d"] = replace(thin, id="101d", a=other)
    for name in ("101c", "101d"):
        sizing.wires[name] = m.sized(name, "10 mm2", family="battery")
    (feed,) = [
        n for n in build_sheet(vehicle, harness, sizing, runs, "h").nets if n.circuit == "feed"
    ]
    (probing,) = feed.others
    assert probing.by == ("101a", "101c", "101d")
    assert probing.ohms == pytest.approx(2.2 * 0.0195 + 2 * 0.3 * 0.00191)


def test_what_is_gathered_is_this_harness_share_in_the_order_of_work_and_tools_come_last(sheet):
    """Ties every 150 mm: 13 on 2 m and 6 on 1 m. The relays and fuses of the vehicle stay out."""
    gathered = {n.key: n.quantity for n in sheet.gather if not n.key.startswith("tool ")}
    assert list(gathered.items()) == [
        ("wire battery 10 mm2 BK", 3.5),
        ("wire thin-wall 1 mm2 BK", 2.5),
        ("wire thin-wall 1 mm2 RD", 3.0),
        ("end cap", 1),
        ("splice barrel-2.5", 1),
        ("terminal blade-6.3 1 mm2", 1),
        ("terminal pin-1.5 1 mm2", 3),
        ("terminal ring-M6 1 mm2", 1),
        ("terminal ring-M6 10 mm2", 2),
        ("housing lamp-3", 1),
        ("clamp round 3 mm", 1),
        ("clamp round 4 mm", 3),
        ("heat-shrink shrink-6", 0.08),
        ("sleeve braid-3", 2.2),
        ("tie", 19),
        ("label connector", 1),
        ("label wire", 10),
    ]
    tools = sheet.gather[len(gathered) :]
    assert {(t.what, t.quantity, t.unit) for t in tools} == {
        (what, 1, "piece") for what in sheet.tools
    }


def test_tools_are_numbered_through_the_whole_vehicle(sheet):
    assert sheet.tools == {
        "Rivet tool for clamps": "T1",
        "Heat gun": "T2",
        "Label printer": "T3",
        "Crimp tool for splices": "T4",
        OPEN_BARREL: "T5",
        "Extractor for pin-1.5 contacts": "T6",
        RING: "T7",
        LUG: "T8",
        "Wire stripper": "T9",
    }

"""One harness small enough to count on paper: its work, probings, clamps, splices and mass.

Minutes, clamp spacing and what counts as a large lug are common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from buildbook.bench.build_sheet import build_sheet
from buildbook.bench.continuity import bench_nets, probings
from buildbook.bench.model import BuildSheet
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.bench.pull_force import pull_n
from buildbook.catalogue.load import sleeves
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Splice
from tests.checks import minimal as m

STUDS = {"contact": "ring-M6"}


def plugged(cavity: str):
    return m.end(f"lamp.{cavity}", point="L", connector="lamp", cavity=cavity, contact="pin-1.5")


def finished(run: str, cover: str, bare_mm: float) -> FinishedRun:
    sleeve = sleeves()["braid-3"] if cover == "braided sleeve" else None
    return FinishedRun(
        run, "h", (), None, None, bare_mm, cover, sleeve, True, bare_mm, None, 0.0, None, 6.0
    )


def on_paper():
    """P to L: 2 m, braided, 3 clamps; L to M: 1 m, bare, 1 clamp.

    101 from a fuse at P through a splice at L to cavity 1 of the lamp; 102 from cavity 2 to a
    ground at P; 103 of 10 mm2 from the same ground to a motor's stud at M; 104 from cavity 3,
    capped.
    """
    devices = (
        m.fuse("F1"),
        m.device("lamp", "lamp", "1 2 3", "pin-1.5", point="L"),
        m.device("G1", "ground", "stud", **STUDS),
        m.device("M1", "motor", "stud", point="M", **STUDS),
    )
    vehicle = m.vehicle(
        devices,
        {
            "feed": ("F1.out", "lamp.1"),
            "ground": ("lamp.2", "G1.stud", "M1.stud"),
            "spare": ("lamp.3",),
        },
        (m.run("r1", "P", "L", 2.0, clamps=3), m.run("r2", "L", "M", 1.0, clamps=1)),
        vehicle={"name": "Bench", "date": "2026-03-01", "lengths": {"service loop": "30 mm"}},
    )
    wires = (
        m.wire("101a", "feed", m.end("F1.out", contact="blade-6.3"), m.end("S101", "splice"), 2.2),
        m.wire("101b", "feed", m.end("S101", "splice"), plugged("1"), 0.3),
        m.wire("102", "ground", plugged("2"), m.end("G1.stud", **STUDS), 2.5, colour="BK"),
        m.wire(
            "103",
            "ground",
            m.end("G1.stud", **STUDS),
            m.end("M1.stud", point="M", **STUDS),
            3.5,
            colour="BK",
        ),
        m.wire("104", "spare", plugged("3"), m.end("104.cap", "capped"), 0.5),
    )
    harness = m.harness(
        wires,
        (Splice("S101", "feed", "h", "L", 0.1, ("101a", "101b"), "r1"),),
        (m.connector("lamp", "lamp-3", "L", rows=[["1", "2", "3"]]),),
    )
    small = (m.sized(w, "1 mm2") for w in ("101a", "101b", "102", "104"))
    sizing = m.sizing(*small, m.sized("103", "10 mm2", family="battery"))
    runs = {"r1": finished("r1", "braided sleeve", 4.0), "r2": finished("r2", "none", 3.0)}
    return vehicle, harness, sizing, runs


@pytest.fixture
def sheet() -> BuildSheet:
    return build_sheet(*on_paper(), "h")


def test_work_counts_every_end_piece_and_probing_once(sheet):
    """Seven contacts, of which the two of 10 mm2 are lugs and no crimps beside; ten labels on
    five wires; only the braided run counts as covered; three nets of two ends and one of one: 3
    probings, and 3 to the bar."""
    counted = {row.what: (round(row.count, 6), row.unit, row.minutes_each) for row in sheet.work}
    assert counted == {
        "set up the board, gather and check": (1, "harness", 30),
        "cut": (5, "pieces", 0.75),
        "label": (10, "labels", 1),
        "lead along the board and tie": (2.2 + 0.3 + 2.5 + 3.5 + 0.5, "m", 1),
        "splice and shrink": (1, "splices", 5),
        "cap": (1, "ends", 2),
        "sleeve, tape or shrink": (2, "m", 6),
        "strip, crimp, tug, insert": (5, "ends", 2),
        "lugs from 10 mm2": (2, "ends", 4),
        "close and boot plugs": (1, "plugs", 4),
        "clamps": (4, "clamps", 2),
        "test": (6, "probings", 0.5),
    }


def test_hours_of_the_whole_harness(sheet):
    minutes = 30 + 3.75 + 10 + 9 + 5 + 2 + 12 + 10 + 8 + 4 + 8 + 3
    assert minutes == 104.75
    assert sheet.hours == pytest.approx(104.75 / 60)


def test_a_wire_just_under_10_mm2_is_crimped_and_no_lug():
    vehicle, harness, sizing, runs = on_paper()
    thinner = replace(sizing.wires["103"], area_mm2=9.9)
    sizing = replace(sizing, wires={**sizing.wires, "103": thinner})
    counted = {w.what: w.count for w in build_sheet(vehicle, harness, sizing, runs, "h").work}
    assert "lugs from 10 mm2" not in counted
    assert counted["strip, crimp, tug, insert"] == 7


def test_three_clamps_part_a_run_into_four_equal_lengths(sheet):
    assert [step.clamps_mm for step in sheet.dressing] == [(500, 1000, 1500), (500,)]


@pytest.mark.parametrize(
    ("run", "towards", "away_mm"), [("r1", "P", 1900), ("r2", "M", 2100), ("", "", 2000)]
)
def test_a_splice_off_its_point_lies_nearer_the_datum_or_beyond(run, towards, away_mm):
    """100 mm from L, which lies 2 m from the datum P: on the way back to it, or on to M; with no
    run to lie along it sits on L."""
    vehicle, harness, sizing, runs = on_paper()
    moved = replace(harness.splices["S101"], run=run)
    harness = replace(harness, splices={"S101": moved})
    (step,) = build_sheet(vehicle, harness, sizing, runs, "h").splices
    assert (step.towards, step.from_datum_mm) == (towards, pytest.approx(away_mm))


def test_a_wire_reaches_past_its_mark_by_the_loop_that_is_allowed(sheet):
    """30 mm as the description says; a stud takes 10 mm more (judgement, no source)."""
    past = {(r.wire.id, r.cavity): r.past_mm for t in sheet.terminations for r in t.rows}
    assert past[("101b", "1")] == pytest.approx(30)
    assert past[("103", "stud")] == pytest.approx(40)


def test_braid_weighs_a_tube_as_long_as_its_run(sheet):
    """Polyester of 1380 kg/m3, half open (from memory), 0.5 mm thick round 4 mm, 2 m long."""
    section_m2 = math.pi * (0.0045) * 0.0005
    assert sheet.mass.cover == pytest.approx(1380 / 2 * section_m2 * 2.0, rel=0.02)
    assert sheet.mass.cover == pytest.approx(0.0098, rel=0.02)


def test_wire_weighs_its_length_of_copper_and_insulation(sheet):
    """5.5 m of 1 mm2 and 3.5 m of 10 mm2: copper of 8960 kg/m3 alone, and at most half more."""
    copper_kg = 8960e-6 * (5.5 * 1 + 3.5 * 10)
    assert copper_kg == pytest.approx(0.3629, abs=1e-4)
    assert copper_kg < sheet.mass.wires < 1.5 * copper_kg


def test_rings_of_one_stud_are_apart_on_the_bench_and_a_capped_end_is_not_probed(sheet):
    """102 and 103 meet on the stud of G1 only when it holds both; 104 has one end to touch."""
    assert [(n.circuit, n.wires, len(n.others)) for n in sheet.nets] == [
        ("feed", ("101a", "101b"), 1),
        ("ground", ("102",), 1),
        ("ground", ("103",), 1),
        ("spare", ("104",), 0),
    ]
    assert [w.id for w in sheet.nets[1].others[0].to.wires] == ["102"]


def test_every_terminal_but_one_is_probed_once(sheet):
    """Seven terminals; joining seven needs six connections at least (a tree, geometry)."""
    assert probings(sheet.nets) == 6


def test_a_wire_capped_at_both_ends_cannot_be_probed():
    wire = m.wire("105", "spare", m.end("105.cap", "capped"), m.end("105.cap2", "capped"), 1.0)
    vehicle = m.vehicle((), {"spare": ()}, (m.run("r1", "P", "L"),))
    bench = HarnessOnBench(vehicle, m.harness((wire,)), m.sizing(m.sized("105")), {}, "h")
    (net,) = bench_nets(bench)
    assert (net.first, net.others, probings((net,))) == (None, (), 0)


@pytest.mark.parametrize(
    ("awg", "as_listed_mm2", "newtons"), [(14, 2.1, 200), (10, 5.3, 355), (8, 8.4, 370)]
)
def test_an_american_size_counts_as_the_rounded_area_that_the_table_lists(
    awg, as_listed_mm2, newtons
):
    """Area by the law of ASTM B258; pull by IEC 60352-2, table 1, from memory."""
    area_mm2 = math.pi / 4 * (0.127 * 92 ** ((36 - awg) / 39)) ** 2
    assert 0.98 * as_listed_mm2 < area_mm2 < as_listed_mm2
    assert pull_n(area_mm2) == newtons

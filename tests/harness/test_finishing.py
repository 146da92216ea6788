"""Pieces of harness as finished: covers that fit, bends, mass, boots, and what the trade knows."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from buildbook.catalogue.load import boots, clamps, sleeves
from buildbook.checks.rules import bend_tight
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.cables import cable_mm
from buildbook.harness.finishing import FinishedRun, connector_boots, finish_runs
from buildbook.harness.lay_up import Strand, lay_up
from buildbook.harness.model import Bundle, Harness
from buildbook.harness.sleeves import (
    cover_kg_per_m,
    fitting_boot,
    fitting_clamp,
    fitting_sleeve,
    rope_mm,
)
from buildbook.vehicle.model import Vehicle
from tests.checks import minimal as m
from tests.harness.test_routes_and_splices import run, vehicle_of


def two_of_1_6_mm(cover: str = "braided sleeve", **fields) -> tuple[Vehicle, Harness]:
    """Two wires of 0.5 mm2 along one run of 2 m."""
    only = {"from": "P", "to": "L", "length": "2 m", "zone": "cabin"}
    rope = {"h": {"cover": cover, "runs": [only]}}
    lamp = m.device("lamp", "lamp", "1 2", point="L")
    feed = m.device("feed", "battery", "1 2")
    vehicle = m.vehicle(
        (lamp, feed),
        {"a": ("feed.1", "lamp.1"), "b": ("feed.2", "lamp.2")},
        (replace(m.run("r1", "P", "L", 2.0), **fields),),
        rope=rope,
    )
    wires = (
        m.wire("101", "a", m.end("feed.1"), m.end("lamp.1"), 2.1, runs=("r1",)),
        m.wire("102", "b", m.end("feed.2"), m.end("lamp.2"), 2.1, runs=("r1",)),
    )
    return vehicle, m.harness(wires, bundles=(Bundle("r1", ("101", "102")),))


def finished(cover: str = "braided sleeve", **fields) -> FinishedRun:
    vehicle, harness = two_of_1_6_mm(cover, **fields)
    od, mass = dict.fromkeys(("101", "102"), 1.6), dict.fromkeys(("101", "102"), 0.0064)
    return finish_runs(vehicle, harness, od, mass)["r1"]


def test_two_wires_take_the_sleeve_clamp_and_rope_of_both_diameters() -> None:
    piece = finished()
    # side by side 2 * 1.6 = 3.2 mm; wall 0.5 mm on both sides makes 4.2 mm (geometry)
    assert piece.bare_mm == pytest.approx(3.2, abs=1e-5)
    assert piece.sleeve and piece.sleeve.id == "braid-3" and piece.tight
    assert piece.outside_mm == pytest.approx(4.2, abs=1e-5)
    assert piece.clamp and piece.clamp.id == "cushioned-5"
    assert piece.rope_mm == 4.0


def test_bends_are_six_diameters_at_least_and_ten_for_good() -> None:
    # NASA-STD-8739.4, paragraph 7.3, cable insulated with other than polyimide film (read)
    piece = finished()
    assert piece.least_bend_mm == pytest.approx(6 * 4.2, abs=1e-4)
    assert piece.lasting_bend_mm == pytest.approx(10 * 4.2, abs=1e-4)


def test_a_piece_weighs_what_its_wire_and_cover_do() -> None:
    bare = finished("none")
    assert bare.sleeve is None and bare.outside_mm == bare.bare_mm
    assert bare.mass_kg == pytest.approx(2 * 2.0 * 0.0064)
    covered = finished()
    # a tube of 3.7 mm mean diameter and 0.5 mm wall, 2 m long, at 700 kg/m3
    assert covered.mass_kg - bare.mass_kg == pytest.approx(
        math.pi * 3.7e-3 * 0.5e-3 * 2.0 * 700, rel=1e-4
    )


def test_a_twisted_pair_of_wires_weighs_more_by_its_take_up() -> None:
    straight, twisted = finished("none"), finished("none", concentric=True)
    assert twisted.lay_up is not None and straight.lay_up is None
    # two round nothing: pitch 1.6 mm, lay 12 * 3.2 mm (geometry)
    factor = math.sqrt(1 + (math.pi * 1.6 / 38.4) ** 2)
    assert twisted.mass_kg / straight.mass_kg == pytest.approx(factor, rel=1e-5)


@pytest.mark.parametrize("kind", ["braided sleeve", "heat-shrink", "tape"])
def test_a_sleeve_goes_on_and_closes_and_no_smaller_one_would(kind: str) -> None:
    chance = random.Random(4)
    for around in [chance.uniform(0.5, 45.0) for _ in range(200)]:
        found = fitting_sleeve(sleeves().values(), kind, around)
        fits = [
            s
            for s in sleeves().values()
            if s.kind == kind and s.smallest_mm <= around <= s.largest_mm
        ]
        assert (found is None) == (not fits)
        if found:
            assert found in fits and found.largest_mm == min(s.largest_mm for s in fits)


def test_a_wire_too_thin_for_any_braid_is_covered_loosely() -> None:
    vehicle, harness = two_of_1_6_mm()
    one = replace(harness, bundles={"r1": Bundle("r1", ("101",))})
    piece = finish_runs(vehicle, one, {"101": 1.6, "102": 1.6}, {"101": 0.0064, "102": 0.0064})[
        "r1"
    ]
    assert piece.sleeve and piece.sleeve.id == "braid-3" and not piece.tight


def test_clamps_close_on_what_they_hold() -> None:
    for tenths in range(20, 401):
        found = fitting_clamp(clamps().values(), tenths / 10)
        assert found and found.smallest_mm <= tenths / 10 <= found.largest_mm
    assert fitting_clamp(clamps().values(), 41.0) is None


def test_a_boot_goes_over_the_shell_and_closes_on_both() -> None:
    found = fitting_boot(boots().values(), 32.0, 13.0)
    assert found and found.shell_smallest_mm <= 32 <= found.shell_largest_mm
    assert found.cable_smallest_mm <= 13 <= found.cable_largest_mm
    # three to one: nothing that goes over 32 mm closes on 3 mm
    assert fitting_boot(boots().values(), 32.0, 3.0) is None


def test_a_plug_that_says_how_wide_its_shell_is_gets_a_boot() -> None:
    _, harness = two_of_1_6_mm()
    plug = m.connector("lamp", "round-2", "L", rows=[["1", "2"]], shell="12 mm")
    wires = tuple(replace(w, b=replace(w.b, connector="lamp")) for w in harness.wires.values())
    fitted = connector_boots(m.harness(wires, connectors=(plug,)), {"101": 1.6, "102": 1.6}, {})
    assert [(b.connector, b.over_mm, round(b.onto_mm, 4)) for b in fitted] == [("lamp", 12.0, 3.2)]
    assert fitted[0].boot and fitted[0].boot.id == "boot-14"
    bare = m.connector("lamp", "round-2", "L", rows=[["1", "2"]])
    assert connector_boots(m.harness(wires, connectors=(bare,)), {"101": 1.6, "102": 1.6}, {}) == ()


def test_rope_is_no_thinner_than_the_bundle_it_stands_for() -> None:
    assert [rope_mm(d) for d in (2.0, 4.1, 9.8, 10.2, 13.0, 60.0)] == [3, 4, 10, 10, 14, 48]


def test_a_wider_bundle_needs_a_heavier_cover() -> None:
    braid = sleeves()["braid-10"]
    assert cover_kg_per_m(braid, 12.0) > cover_kg_per_m(braid, 8.0) > 0


def test_a_shielded_pair_is_thicker_than_its_cores() -> None:
    assert cable_mm("twisted pair", [1.6, 1.6]) == pytest.approx(3.2, abs=1e-5)
    # three equal circles: 1 + 2 / sqrt(3) = 2.1547 (geometry), and shield and jacket
    assert cable_mm("shielded 2", [1.6] * 3) - 2.1547 * 1.6 == pytest.approx(1.1, abs=1e-3)


@pytest.mark.parametrize(
    ("bend_mm", "zone", "severity"),
    [
        (24.0, "cabin", ["error"]),
        (26.0, "cabin", ["note"]),
        (26.0, "wheel", ["warning"]),
        (43.0, "wheel", []),
        (None, "cabin", []),
    ],
)
def test_a_bend_is_held_against_the_covered_diameter(bend_mm, zone, severity) -> None:
    """4.2 mm thick: 25.2 mm at least, 42 mm for good (NASA-STD-8739.4, 7.3)."""
    bend_m = None if bend_mm is None else bend_mm / 1000
    vehicle, harness = two_of_1_6_mm(bend_m=bend_m, zone=zone)
    zones = {"cabin": {"ambient": "40 degC"}, "wheel": {"ambient": "40 degC", "moving": "yes"}}
    rope = {"h": {"runs": [{"from": "P", "to": "L", "length": "2 m", "zone": zone}]}}
    vehicle = replace(vehicle, description=m.description(zones=zones, rope=rope))
    sizing = m.sizing(m.sized("101"), m.sized("102"))
    found = list(
        bend_tight.check(
            replace(
                m.assessed(vehicle, harness, sizing_=sizing),
                finished_runs=finish_runs(
                    vehicle,
                    harness,
                    dict.fromkeys(sizing.wires, 1.6),
                    dict.fromkeys(sizing.wires, 0.0064),
                ),
            )
        )
    )
    assert [f.severity for f in found] == severity


HALF_INCH_MM, QUARTER_INCH_MM = 12.7, 6.35


@pytest.mark.parametrize("seed", range(3))
def test_a_trunk_of_fifty_thin_wires_is_about_half_an_inch(seed: int) -> None:
    """Common practice, no source: an engine trunk of about fifty thin wires is near 1/2 inch."""
    chance = random.Random(seed)
    thin = [chance.choice((1.3, 1.3, 1.6, 1.6, 1.9)) for _ in range(50)]
    assert 10.0 <= bundle_diameter_mm(thin) <= 15.0
    twisted = lay_up([Strand((str(n),), d) for n, d in enumerate(sorted(thin, reverse=True))])
    assert 10.0 <= twisted.outside_mm <= 15.0


def test_the_example_s_engine_trunk_is_near_half_an_inch(lapwing) -> None:
    """41 wires in 37 strands, three of them thick; common practice, no source."""
    trunk = lapwing.finished_runs["engine:bulkhead-engine-E1"]
    assert 40 <= len(trunk.wires) <= 60
    assert HALF_INCH_MM * 0.75 <= trunk.bare_mm <= HALF_INCH_MM * 1.25


def test_the_example_s_branches_to_a_device_or_two_are_near_a_quarter_inch_or_below(lapwing):
    """Common practice, no source. Branches: runs of the engine harness that end at devices."""
    ends = {}
    for piece in lapwing.vehicle.runs:
        if piece.harness == "engine":
            ends.setdefault(piece.to_point, []).append(piece)
            ends.setdefault(piece.from_point, []).append(piece)
    at = {}
    for device in lapwing.vehicle.devices.values():
        at.setdefault(device.point, []).append(device)
    seen = 0
    for point, runs in ends.items():
        plain = [d for d in at.get(point, ()) if d.kind != "pass-through"]
        if len(runs) == 1 and len(plain) == len(at.get(point, ())) in (1, 2):
            seen += 1
            assert lapwing.finished_runs[runs[0].id].bare_mm <= 1.1 * QUARTER_INCH_MM, point
    assert seen >= 12


def test_every_piece_of_the_example_is_covered_and_can_be_clamped(lapwing) -> None:
    for laid in lapwing.vehicle.runs:
        piece = lapwing.finished_runs[laid.id]
        assert piece.sleeve is not None, laid.id
        assert piece.outside_mm > piece.bare_mm
        assert piece.clamp is not None, laid.id
        assert sorted(piece.wires) == sorted(lapwing.harness.bundles[laid.id].wires)
        assert piece.mass_kg > 0


def test_one_run_may_be_twisted_and_another_not_and_a_tape_may_record_bends() -> None:
    tape = {
        "zone": "still",
        "marks": [
            {"at": "hub", "reads": "0 mm"},
            {"at": "a", "reads": "400 mm", "bend": "60 mm"},
            {"at": "b", "reads": "900 mm"},
        ],
    }
    runs = [run("hub", "c", 600) | {"layup": "concentric"}, run("hub", "d", 500)]
    mixed = vehicle_of({}, {}, {"main": {"runs": runs, "tapes": [tape]}})
    found = {r.to_point: r for r in mixed.runs}
    assert {point: r.concentric for point, r in found.items()} == {
        "c": True,
        "d": False,
        "a": False,
        "b": False,
    }
    assert (found["a"].bend_m, found["b"].bend_m) == (pytest.approx(0.06), None)
    rope = {"main": {"layup": "concentric", "runs": [run("hub", "c", 600) | {"layup": "parallel"}]}}
    assert [r.concentric for r in vehicle_of({}, {}, rope).runs] == [False]

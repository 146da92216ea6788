"""The trailer's rope with its chosen wire: diameters, masses, joints, boots and layers."""

import math
from dataclasses import replace

import pytest

from buildbook.catalogue.load import wire_families
from buildbook.harness.model import Splice
from buildbook.sizing.finished_runs import (
    boots_of,
    conductor_of,
    finished_runs,
    joints_of,
    outside_mm,
    with_layer_lengths,
)
from tests.checks import minimal as m
from tests.sizing.small import trailer, written

ROW = {c.label: c for c in wire_families()["thin-wall"].conductors}


def at(label, ids):
    return m.sizing(*(m.sized(w, label) for w in ids))


@pytest.fixture
def laid():
    return written(trailer())


def test_a_chosen_wire_is_the_row_of_its_own_family():
    vehicle = m.vehicle()
    assert conductor_of(vehicle, m.sized("1", "1.5 mm2")) is ROW["1.5 mm2"]
    thick = conductor_of(vehicle, m.sized("1", "16 mm2", family="battery"))
    assert thick in wire_families()["battery"].conductors and thick.area_mm2 == 16
    assert outside_mm(vehicle, at("1.5 mm2", ("1", "2"))) == {
        "1": ROW["1.5 mm2"].outside_mm,
        "2": ROW["1.5 mm2"].outside_mm,
    }


def test_two_alike_wires_side_by_side_measure_two_diameters_and_weigh_by_the_metre(laid):
    vehicle, harness = laid
    found = finished_runs(vehicle, harness, at("2.5 mm2", harness.wires))
    (run,) = vehicle.runs
    (piece,) = found.values()
    assert (piece.run, set(piece.wires)) == (run.id, set(harness.bundles[run.id].wires))
    assert piece.bare_mm == pytest.approx(2 * ROW["2.5 mm2"].outside_mm)
    if piece.cover == "none":
        assert piece.mass_kg == pytest.approx(2 * ROW["2.5 mm2"].kg_per_m * run.length_m)
    thin = finished_runs(vehicle, harness, at("0.5 mm2", harness.wires))[run.id]
    copper = 2 * (ROW["2.5 mm2"].kg_per_m - ROW["0.5 mm2"].kg_per_m) * run.length_m
    assert piece.mass_kg - thin.mass_kg == pytest.approx(copper, abs=0.02)


def test_a_joint_is_made_of_the_copper_of_its_chosen_wires():
    ends = [(m.end(f"d{n}.1"), m.end("S1", "splice")) for n in range(3)]
    wires = tuple(m.wire(f"w{n}", "c", *pair) for n, pair in enumerate(ends))
    splice = Splice("S1", "c", "h", "P", 0.0, ("w0", "w1", "w2"))
    made = m.harness(wires, (splice,))
    sizing = m.sizing(m.sized("w0", "2.5 mm2"), m.sized("w1", "1 mm2"), m.sized("w2", "1 mm2"))
    joint = joints_of(m.vehicle(), made, sizing)["S1"]
    assert {*joint.near, *joint.far} == {"w0", "w1", "w2"}
    assert joint.barrel is not None and joint.sleeve is not None
    thicker = joints_of(m.vehicle(), made, at("4 mm2", ("w0", "w1", "w2")))["S1"]
    assert thicker.copper_mm2 > joint.copper_mm2


def test_a_boot_goes_over_a_shell_that_says_how_wide_it_is(laid):
    told = trailer()
    told["plugs"]["sealed-2"]["shell"] = "16 mm"
    vehicle, harness = written(told)
    (boot,) = boots_of(vehicle, harness, at("1 mm2", harness.wires))
    assert boot.over_mm == pytest.approx(16.0)
    assert boot.onto_mm == pytest.approx(2 * ROW["1 mm2"].outside_mm, rel=0.05)
    assert boots_of(*laid, at("1 mm2", laid[1].wires)) == ()


def twisted(laid):
    vehicle, harness = laid
    return replace(vehicle, runs=tuple(replace(r, concentric=True) for r in vehicle.runs)), harness


def lays(harness):
    return {w.id: w.cut_m for w in harness.wires.values()}


def test_only_a_twisted_rope_of_known_wires_is_laid_anew(laid):
    vehicle, harness = laid
    sizing = at("1 mm2", harness.wires)
    assert with_layer_lengths(vehicle, harness, sizing) is harness
    vehicle, _ = twisted(laid)
    assert with_layer_lengths(vehicle, harness, at("1 mm2", list(harness.wires)[1:])) is harness
    assert with_layer_lengths(vehicle, harness, sizing) is not harness


def test_twisted_wires_are_no_shorter_than_the_rope_and_thicker_ones_no_shorter_still(laid):
    vehicle, harness = twisted(laid)
    thin = with_layer_lengths(vehicle, harness, at("0.5 mm2", harness.wires))
    thick = with_layer_lengths(vehicle, thin, at("6 mm2", harness.wires))
    straight = dict(lays(laid[1]))
    assert all(math.isfinite(x) and x >= straight[w] - 0.5 for w, x in lays(thick).items())
    kept = with_layer_lengths(vehicle, thick, at("0.5 mm2", harness.wires), True)
    assert all(x >= lays(thick)[w] - 1e-9 for w, x in lays(kept).items())
    shrunk = with_layer_lengths(vehicle, thick, at("0.5 mm2", harness.wires))
    assert lays(shrunk) == lays(thin)

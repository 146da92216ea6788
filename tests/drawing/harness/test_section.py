"""Cross-sections: true diameters, no wire inside another, the outside diameter."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest

from buildbook.drawing.harness.lay_up import changes, lay_ups
from buildbook.drawing.harness.section import (
    LISTED,
    cut_through,
    fullest_run,
    lay_words,
    section,
    sections,
)
from buildbook.figures import METRIC
from buildbook.harness.lay_up import Strand, lay_up
from buildbook.sizing.finished_runs import finished_runs, outside_mm
from tests.drawing.reading import faults, letterings, points, shapes


def test_section_draws_every_wire_of_the_fullest_run_at_one_scale(lapwing):
    for harness, (drawing,) in sections(lapwing).items():
        run = fullest_run(lapwing, harness)
        ids = lapwing.harness.bundles[run.id].wires
        drawn = sorted(float(c.get("r")) for c in shapes(drawing, "circle", "wire"))
        od = outside_mm(lapwing.vehicle, lapwing.sizing)
        true = sorted(od[wire] / 2 for wire in ids)
        scale = drawn[-1] / true[-1]
        assert drawn == pytest.approx([r * scale for r in true], abs=0.003), harness


def test_key_names_every_wire_with_its_colour_and_size(lapwing):
    for harness, (drawing,) in sections(lapwing).items():
        texts = {t.text for t in letterings(drawing)}
        for wire_id in lapwing.harness.bundles[fullest_run(lapwing, harness).id].wires:
            assert {wire_id, lapwing.harness.wires[wire_id].colour} <= texts
            assert lapwing.sizing.wires[wire_id].label.replace("mm2", "mm²") in texts
        assert any("outside diameter" in t for t in texts)


def _bundle_of(lapwing, count, kinds=1000):
    """The cabin's fullest run with `count` wires that repeat the first `kinds` of its own."""
    run = fullest_run(lapwing, "cabin")
    bundle = lapwing.harness.bundles[run.id]
    own = bundle.wires[:kinds]
    sources = {f"{900 + n}": own[n % len(own)] for n in range(count)}
    wires = {n: replace(lapwing.harness.wires[w], id=n) for n, w in sources.items()}
    sizes = {n: replace(lapwing.sizing.wires[w], wire=n) for n, w in sources.items()}
    bundles = lapwing.harness.bundles | {run.id: replace(bundle, wires=tuple(wires))}
    harness = replace(lapwing.harness, wires=lapwing.harness.wires | wires, bundles=bundles)
    sizing = replace(lapwing.sizing, wires=lapwing.sizing.wires | sizes)
    pieces = finished_runs(replace(lapwing.vehicle, runs=(run,)), harness, sizing)
    return replace(lapwing, harness=harness, sizing=sizing, finished_runs=pieces), run, wires


@pytest.mark.parametrize("count", [1, 7, 68, 80, 140, 141, 300, 1000])
def test_section_of_any_number_of_wires_keeps_to_its_page(lapwing, count):
    result, run, wires = _bundle_of(lapwing, count)
    drawing = section(result, run)
    assert drawing.width_mm <= 170 and drawing.height_mm <= 240
    assert faults(drawing) == []
    assert len(shapes(drawing, "circle", "wire")) == count
    discs = [
        tuple(float(c.get(a)) for a in ("cx", "cy", "r")) for c in shapes(drawing, "circle", "wire")
    ]
    assert min(x - r for x, _, r in discs) >= 0
    assert max(x + r for x, _, r in discs) <= drawing.width_mm
    texts = {t.text for t in letterings(drawing)}
    if count <= LISTED:
        assert wires.keys() <= texts
    else:
        assert any("cut list" in t for t in texts)


def test_crowded_section_counts_the_wires_of_each_colour_and_size(lapwing):
    result, run, _ = _bundle_of(lapwing, 300, kinds=3)
    drawing = section(result, run)
    texts = [t.text for t in letterings(drawing)]
    counts = [int(t.removesuffix(" off")) for t in texts if t.endswith(" off")]
    assert sum(counts) == 300
    own = lapwing.harness.bundles[run.id].wires[:3]
    kinds = {(lapwing.harness.wires[w].colour, lapwing.sizing.wires[w].label) for w in own}
    assert len(counts) == len(kinds) == len(shapes(drawing, "circle", "key"))


def test_every_wire_of_every_section_bears_its_name(lapwing):
    for harness, (drawing,) in sections(lapwing).items():
        piece = lapwing.finished_runs[fullest_run(lapwing, harness).id]
        named = sorted(t.text for t in letterings(drawing) if t.text in piece.wires)
        # once inside the wire, once in the key
        assert named == sorted(piece.wires * 2), harness


def test_a_twisted_harness_is_drawn_wherever_its_lay_up_changes(lapwing):
    sheets = lay_ups(lapwing)
    assert sheets.keys() == {"engine"}
    texts = [t.text for sheet in sheets["engine"] for t in letterings(sheet)]
    pieces = changes(lapwing, "engine")
    alone = fullest_run(lapwing, "engine").id
    for run in lapwing.vehicle.runs:
        piece = lapwing.finished_runs.get(run.id)
        if run.harness == "engine" and piece.lay_up and run.id != alone:
            assert any(set(piece.wires) == set(p.wires) for p in pieces), run.id
    for piece in pieces:
        assert texts.count(piece.run.partition(":")[2]) == 1
    for wire in {w for piece in pieces for w in piece.wires}:
        assert texts.count(wire) == sum(wire in piece.wires for piece in pieces)
    for sheet in sheets["engine"]:
        assert faults(sheet) == []
        assert sheet.width_mm <= 170 and sheet.height_mm <= 240


def test_no_two_circles_of_a_section_overlap(lapwing):
    for piece in lapwing.finished_runs.values():
        seen = cut_through(lapwing, piece)
        assert sorted(d.wire for d in seen.wires) == sorted(piece.wires)
        for a, b in combinations(seen.wires + seen.fillers, 2):
            assert math.hypot(a.x - b.x, a.y - b.y) > (a.r + b.r) * 0.999, piece.run
        assert all(
            math.dist((d.x, d.y), seen.middle) + d.r <= seen.radius + 1e-6 for d in seen.wires
        )


def test_cores_of_a_cable_lie_inside_its_jacket(lapwing):
    """The knock sensors' shielded cables keep their cores together along the whole engine."""
    cored = [p for p in lapwing.finished_runs.values() if any(len(s.wires) > 1 for s in p.strands)]
    assert cored
    for piece in cored:
        seen = cut_through(lapwing, piece)
        for strand in piece.strands:
            if len(strand.wires) > 1:
                cores = [d for d in seen.wires if d.wire in strand.wires]
                assert any(
                    all(math.hypot(d.x - j.x, d.y - j.y) + d.r <= j.r + 1e-6 for d in cores)
                    for j in seen.jackets
                ), strand


def test_fillers_are_said_with_the_layer_that_they_close():
    """Eighteen alike: one of the twelve seats round seven is empty (geometry)."""
    words = lay_words(lay_up([Strand((str(n),), 1.6) for n in range(18)]).layers, METRIC)
    assert words[-1].endswith("1 filler of 1.6 mm")


def test_every_layer_but_the_last_says_how_thick_it_is(lapwing):
    """Each layer is measured before the next is laid."""
    texts = [t.text for sheet in lay_ups(lapwing)["engine"] for t in letterings(sheet)]
    said = 0
    for piece in changes(lapwing, "engine"):
        for layer in piece.lay_up.layers[:-1]:
            assert any(f"{layer.outside_mm:.1f} mm outside" in t for t in texts), piece.run
            said += 1
    assert said


def test_every_section_says_its_scale_revision_and_page(lapwing):
    sheets = [*(d for (d,) in sections(lapwing).values()), *lay_ups(lapwing)["engine"]]
    for sheet in sheets:
        words = " ".join(t.text for t in letterings(sheet))
        assert f"revision {lapwing.vehicle.description.vehicle.revision}" in words
        assert ":1 ·" in words and sheet.name in words


def test_a_section_beside_its_key_takes_no_more_height_than_they_do(lapwing):
    """Half a page stayed empty before a drawing a few millimetres too high."""
    run = fullest_run(lapwing, "engine")
    drawing = section(lapwing, run)
    (strip,) = shapes(drawing, "polyline", "strip")
    ((_, foot), _) = points(strip)
    last = max(t.box.bottom for t in letterings(drawing) if t.box.bottom < foot)
    assert foot - last < 3.0

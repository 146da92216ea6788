"""Cross-sections: true diameters, no wire inside another, the outside diameter."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.drawing.section import (
    LISTED,
    enclosing,
    fullest_run,
    outside_mm,
    pack,
    section,
    sections,
)
from tests.drawing.reading import faults, letterings, shapes


def test_two_equal_wires_lie_in_a_circle_of_twice_their_diameter():
    discs = pack({"a": 1.0, "b": 1.0})
    assert enclosing(discs)[2] == pytest.approx(2.0, rel=0.01)


def test_seven_equal_wires_lie_in_a_circle_of_three_times_their_diameter():
    """One in the middle and six round it: the hexagonal packing of the lay-up tables."""
    discs = pack({str(n): 1.0 for n in range(7)})
    assert enclosing(discs)[2] == pytest.approx(3.0, rel=0.01)


def test_packed_wires_touch_but_never_overlap():
    discs = pack({str(n): 0.6 + (n * 37 % 11) / 10 for n in range(60)})
    gaps = [math.hypot(a.x - b.x, a.y - b.y) - a.r - b.r for a, b in combinations(discs, 2)]
    assert min(gaps) > -1e-6
    assert sum(gap < 1e-6 for gap in gaps) >= 2 * len(discs) - 3
    area = sum(d.r**2 for d in discs)
    assert area / enclosing(discs)[2] ** 2 > 0.65


def test_section_draws_every_wire_of_the_fullest_run_at_one_scale(lapwing):
    for harness, drawing in sections(lapwing).items():
        run = fullest_run(lapwing, harness)
        ids = lapwing.harness.bundles[run.id].wires
        drawn = sorted(float(c.get("r")) for c in shapes(drawing, "circle", "wire"))
        true = sorted(outside_mm(lapwing, lapwing.harness.wires[w]) / 2 for w in ids)
        scale = drawn[0] / true[0]
        assert drawn == pytest.approx([r * scale for r in true], abs=0.002), harness


def test_key_names_every_wire_with_its_colour_and_size(lapwing):
    for harness, drawing in sections(lapwing).items():
        texts = {t.text for t in letterings(drawing)}
        for wire_id in lapwing.harness.bundles[fullest_run(lapwing, harness).id].wires:
            assert {wire_id, lapwing.harness.wires[wire_id].colour} <= texts
            assert lapwing.sizing.wires[wire_id].label.replace("mm2", "mm²") in texts
        assert any("outside diameter" in t for t in texts)


def _gap(discs) -> float:
    """How far two discs overlap at most, as a negative clearance; 0 where none do."""
    x, y, r = (np.array([getattr(d, name) for d in discs]) for name in "xyr")
    gaps = np.hypot(x[:, None] - x, y[:, None] - y) - r[:, None] - r
    return float(gaps[~np.eye(len(discs), dtype=bool)].min(initial=0.0))


@pytest.mark.parametrize("count", [1, 7, 80, 300, 1000])
def test_any_number_of_wires_packs_without_overlap_and_tightly(count):
    """No circle is smaller than its discs together; a crowd fills more than seven tenths."""
    discs = pack({str(n): (0.65, 0.8, 1.05)[n % 3] for n in range(count)})
    assert len({d.wire for d in discs}) == count
    assert _gap(discs) > -1e-6
    x, y, radius = enclosing(discs)
    assert all(math.hypot(d.x - x, d.y - y) + d.r <= radius + 1e-9 for d in discs)
    fill = sum(d.r**2 for d in discs) / radius**2
    assert {1: 0.99, 7: 0.5}.get(count, 0.7) < fill <= 1 + 1e-9


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.4, 12.0), min_size=1, max_size=40))
def test_wires_of_any_sizes_never_overlap(radii):
    discs = pack({str(n): r for n, r in enumerate(radii)})
    assert sorted(d.r for d in discs) == sorted(radii)
    assert _gap(discs) > -1e-6
    assert sum(d.r**2 for d in discs) <= enclosing(discs)[2] ** 2 * (1 + 1e-9)


def _bundle_of(lapwing, count, kinds=1000):
    """The cabin's fullest run with `count` wires that repeat the first `kinds` of its own."""
    run = fullest_run(lapwing, "cabin")
    bundle = lapwing.harness.bundles[run.id]
    own = bundle.wires[:kinds]
    sources = {f"{900 + n}": own[n % len(own)] for n in range(count)}
    wires = {n: replace(lapwing.harness.wires[w], id=n) for n, w in sources.items()}
    sizes = {n: replace(lapwing.sizing.wires[w], wire=n) for n, w in sources.items()}
    bundles = lapwing.harness.bundles | {run.id: replace(bundle, wires=tuple(wires))}
    harness = replace(
        lapwing.harness, wires=lapwing.harness.wires | wires, bundles=bundles
    )  # fmt: skip
    sizing = replace(lapwing.sizing, wires=lapwing.sizing.wires | sizes)
    return replace(lapwing, harness=harness, sizing=sizing), run, wires


@pytest.mark.parametrize("count", [1, 7, 68, 80, 140, 141, 300, 1000])
def test_section_of_any_number_of_wires_keeps_to_its_page(lapwing, count):
    result, run, wires = _bundle_of(lapwing, count)
    drawing = section(result, run)
    assert drawing.width_mm <= 170 and drawing.height_mm <= 240
    assert faults(drawing) == []
    assert len(shapes(drawing, "circle", "wire")) == count
    discs = [tuple(float(c.get(a)) for a in ("cx", "cy", "r"))
             for c in shapes(drawing, "circle", "wire")]  # fmt: skip
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

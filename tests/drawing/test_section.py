"""Cross-sections: true diameters, no wire inside another, the outside diameter."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from buildbook.drawing.section import enclosing, fullest_run, outside_mm, pack, sections
from tests.drawing.reading import letterings, shapes


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

"""Charts and the power page: bars in proportion, figures as solved, nothing left out."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from buildbook.drawing.charts.alternator import alternator_chart
from buildbook.drawing.charts.axis import ticks_to
from buildbook.drawing.charts.charging import charging_chart
from buildbook.drawing.charts.cost import cost_chart
from buildbook.drawing.charts.fuse import fuse_chart
from buildbook.drawing.charts.power import power_diagram
from buildbook.drawing.charts.power_paths import largest_state, supply_paths
from buildbook.drawing.faces.panel import panels
from buildbook.drawing.shared.model import SHEET_MM
from buildbook.electrical.supply import demand_a
from tests.drawing.reading import faults, letterings, shapes


def test_ticks_are_round_and_reach_the_largest_value():
    assert ticks_to(47) == pytest.approx([0, 10, 20, 30, 40, 50])
    assert ticks_to(0.9) == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1.0])


def test_demand_bars_are_in_proportion_to_what_the_loads_take(lapwing):
    bars = [float(b.get("width")) for b in shapes(*charging_chart(lapwing), "rect", "demand")]
    taken = [max(0, demand_a(lapwing.vehicle, s)) for s in lapwing.solved.meter.values()]
    per_a = max(bars) / max(taken)
    assert bars == pytest.approx([a * per_a for a in taken], abs=0.01)


def test_demand_is_the_sum_of_the_load_currents(lapwing):
    """Kirchhoff: what supply gives less what the battery takes runs through loads and sources."""
    for solution in lapwing.solved.meter.values():
        out = sum(
            solution.current_a[b.id]
            for b in solution.branches.values()
            if b.id in ("battery", "alternator")
        )
        assert abs(demand_a(lapwing.vehicle, solution)) == pytest.approx(abs(out), abs=1e-3)


def test_balance_is_capability_less_demand(lapwing):
    texts = {t.text for t in letterings(*charging_chart(lapwing))}
    for solution in lapwing.solved.meter.values():
        left = solution.alternator_limit_a - demand_a(lapwing.vehicle, solution)
        said = f"{left:+.1f} A" if abs(left) >= 0.1 else f"{1000 * left:+.0f} mA"
        assert f"balance {said}".replace("-", "−") in texts


def test_fuse_chart_holds_every_fuse(lapwing):
    (drawing,) = fuse_chart(lapwing)
    assert lapwing.sizing.fuses.keys() <= {t.text for t in letterings(drawing)}
    loads = shapes(drawing, "rect", "load")
    for bar, fuse in zip(loads, lapwing.sizing.fuses.values(), strict=True):
        share = float(bar.get("width")) / 92
        assert share == pytest.approx(min(1, fuse.load_a / fuse.rating_a), abs=0.001)


def test_a_fuse_of_milliamps_says_so_in_milliamps(lapwing):
    small = {id_: f for id_, f in lapwing.sizing.fuses.items() if f.load_a < 0.05}
    assert small
    words = [t.text for t in letterings(*fuse_chart(lapwing))]
    assert not [w for w in words if w.startswith("0.0")]
    assert any(w.startswith(f"{f.load_a * 1000:.0f} mA of") for f in small.values() for w in words)


@pytest.mark.parametrize("vehicle", ["lapwing", "motorcycle"])
@pytest.mark.parametrize("drawn", [alternator_chart, charging_chart, panels, power_diagram])
def test_no_drawing_rounds_a_current_away(vehicle, drawn, request):
    """'0.0 A' beside a fuse reads as dead, though its load takes 4 mA."""
    made = drawn(request.getfixturevalue(vehicle))
    sheets = made if isinstance(made, tuple) else [s for found in made.values() for s in found]
    words = [t.text for sheet in sheets for t in letterings(sheet)]
    assert not [w for w in words if re.search(r"(?<![\d.])0\.0+ A", w)]


def test_the_power_page_says_milliamps_at_a_fuse_that_feeds_so_little(lapwing):
    meter = lapwing.solved.meter[largest_state(lapwing)]
    through = {f: abs(meter.current_a[f"fuse:{f}"]) for f in lapwing.sizing.fuses}
    small = [amps for amps in through.values() if 0.001 <= amps < 0.05]
    assert small
    words = [t.text for t in letterings(*power_diagram(lapwing))]
    for amps in small:
        assert any(re.search(rf" A, {1000 * amps:.0f} mA, ", w) for w in words)


@pytest.mark.parametrize("count", [1, 42, 55, 56, 110, 111, 165, 166, 500])
def test_fuse_chart_keeps_to_its_page_and_says_what_it_leaves_out(lapwing, count):
    model = next(iter(lapwing.sizing.fuses.values()))
    fuses = {
        f"F{n}": replace(model, fuse=f"F{n}", load_a=7.5 * (n * 7 % count) / count, rating_a=10.0)
        for n in range(count)
    }
    sizing = replace(lapwing.sizing, fuses=fuses)
    (drawing,) = fuse_chart(replace(lapwing, sizing=sizing))
    assert drawing.width_mm <= 170 and drawing.height_mm <= 240
    assert faults(drawing) == []
    texts = {t.text for t in letterings(drawing)}
    shown, left_out = fuses.keys() & texts, fuses.keys() - texts
    assert len(shown) == len(shapes(drawing, "rect", "load"))
    said = [t for t in texts if f"{len(left_out)} more: see the fuse table" in t]
    assert bool(said) == bool(left_out)
    most = max((fuses[f].load_a for f in left_out), default=0.0)
    assert most <= min(fuses[f].load_a for f in shown)


def test_costs_by_kind_system_and_harness_are_shown_to_one_scale_dearest_first(lapwing):
    bill = lapwing.bill
    bars = [float(b.get("width")) for b in shapes(*cost_chart(lapwing), "rect", "cost")]
    groups = (bill.by_kind, bill.by_system, bill.by_harness)
    costs = [float(c) for group in groups for c in sorted(group.values(), reverse=True)]
    assert bars == pytest.approx([c * bars[0] / costs[0] for c in costs], abs=0.02)


def test_costs_of_many_systems_are_added_up_in_one_last_bar(lapwing):
    many = {f"system {n}": Decimal(100 - n) for n in range(40)}
    bill = replace(lapwing.bill, by_system=many, by_kind={}, by_harness={})
    texts = [t.text for t in letterings(*cost_chart(replace(lapwing, bill=bill)))]
    assert "27 more" in texts
    assert f"{sum(100 - n for n in range(13, 40))}.00" in texts


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_power_page_holds_every_fuse_and_every_fused_load(vehicle, request):
    result = request.getfixturevalue(vehicle)
    texts = [t.text for t in letterings(*power_diagram(result))]
    assert not any("see the load table" in t for t in texts)
    for fuse in result.sizing.fuses.values():
        assert fuse.fuse in texts
        for load in fuse.feeds:
            assert texts.count(load) == 1 or any(
                t.endswith("…") and load.startswith(t[:-1]) for t in texts
            ), load


def test_power_page_is_a_framed_sheet_with_its_state_in_the_title_block(lapwing):
    (drawing,) = power_diagram(lapwing)
    assert (drawing.width_mm, drawing.height_mm) == SHEET_MM
    assert shapes(drawing, "rect", "frame") and shapes(drawing, "rect", "title-block")
    texts = [t.text for t in letterings(drawing)]
    assert texts[texts.index("State drawn") + 1] == largest_state(lapwing)


def test_power_of_few_loads_is_a_figure_among_text_with_its_state_below(motorcycle):
    (drawing,) = power_diagram(motorcycle)
    assert not drawing.is_sheet and not shapes(drawing, "rect", "frame")
    texts = [t.text for t in letterings(drawing)]
    assert any(largest_state(motorcycle) in t and "revision" in t for t in texts)
    assert not any(t.endswith("…") for t in texts)


@pytest.mark.parametrize(("vehicle", "told"), [("lapwing", True), ("two_wire", False)])
def test_power_page_says_that_pulsing_loads_show_means(vehicle, told, request):
    """An injector of 5.8 V among lamps of 13.5 V looks like a fault."""
    texts = [t.text for t in letterings(*power_diagram(request.getfixturevalue(vehicle)))]
    assert ("in pulses are means, as a meter shows" in " ".join(texts)) == told


def test_a_stage_that_nothing_stands_beside_is_named_in_full(lapwing):
    """'starter…' could be the starter or its solenoid."""
    texts = [t.text for t in letterings(*power_diagram(lapwing))]
    assert "starter-solenoid" in texts
    assert not any(t.endswith("…") for t in texts)


def test_supply_comes_from_the_battery_first(lapwing):
    battery = lapwing.vehicle.all_of("battery")[0].id
    paths = supply_paths(lapwing)
    assert paths.keys() == lapwing.sizing.fuses.keys()
    assert all(path[0] == battery and path[-1] == fuse for fuse, path in paths.items())


def test_current_into_a_stage_is_not_less_than_its_largest_branch(lapwing):
    solution = lapwing.solved.meter[largest_state(lapwing)]
    for fuse, path in supply_paths(lapwing).items():
        for upstream in (d for d in path[:-1] if d in lapwing.sizing.fuses):
            below = abs(solution.current_a.get(f"fuse:{fuse}", 0.0))
            above = abs(solution.current_a.get(f"fuse:{upstream}", 0.0))
            assert above >= below - 0.05, (upstream, fuse)

"""Drop chart: of every circuit the wire nearest to its limit, to scale, however many there are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.drawing.charts.drop import SCALE, drop_charts, drops
from buildbook.sizing.model import Limit
from tests.drawing.reading import faults, letterings, shapes
from tests.drawing.svg import scene


def limited(result, circuits):
    """The result with one wire a circuit, losing from nothing to twice its allowance."""
    model = result.sizing.wires["101"]
    wire, circuit = result.harness.wires["101"], result.vehicle.circuits["battery to isolator"]
    names = [f"a circuit with a name of some length {n}" for n in range(circuits)]
    limits = {
        n: Limit("drop", 0.8 * n / max(1, circuits - 1), 0.4, "V", "", "") for n in range(circuits)
    }
    wires = {f"w{n}": replace(wire, id=f"w{n}", circuit=name) for n, name in enumerate(names)}
    sized = {f"w{n}": replace(model, wire=f"w{n}", limits=(limits[n],)) for n in range(circuits)}
    known = {name: replace(circuit, id=name, number=100 + n) for n, name in enumerate(names)}
    return replace(
        result,
        vehicle=replace(result.vehicle, circuits=known),
        harness=replace(result.harness, wires=wires),
        sizing=replace(result.sizing, wires=sized),
    )


def widths(charts):
    """Of every bar up to the allowance."""
    return [float(b.get("width")) for d in charts for b in shapes(d, "rect", "drop")]


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_every_circuit_with_a_limit_stands_once_with_its_volts(vehicle, request):
    result = request.getfixturevalue(vehicle)
    charts = drop_charts(result)
    assert charts and [f for d in charts for f in faults(d)] == []
    texts = [t.text for d in charts for t in letterings(d)]
    wanted = {}
    for id_, sizing in result.sizing.wires.items():
        number = str(result.vehicle.circuits[result.harness.wires[id_].circuit].number)
        for limit in sizing.limits:
            if limit.name == "drop":
                wanted.setdefault(number, []).append(limit)
    for number, limits in wanted.items():
        assert texts.count(number) == 1
        worst = max(limits, key=lambda limit: limit.value / limit.allowed)
        assert f"{worst.value:.2f} of {worst.allowed:.2f} V" in texts
    assert len(drops(result)) == len(wanted)


def test_the_limit_is_the_heaviest_line_of_the_chart_and_lies_over_the_bars(lapwing):
    for chart in drop_charts(lapwing):
        drawn = scene(chart.svg)
        limits = [s for s in drawn.strokes if "limit" in s.at.classes]
        others = [s for s in drawn.strokes if s not in limits]
        assert limits and min(s.width for s in limits) > max(s.width for s in others)
        bars = [a for a in drawn.areas if "drop" in a.at.classes]
        assert min(s.at.order for s in limits) > min(a.at.order for a in bars)


def test_bars_are_in_proportion_and_nearest_to_its_limit_stands_first(lapwing):
    shares = [drop.share for drop in drops(lapwing)]
    assert shares == sorted(shares, reverse=True)
    bars = widths(drop_charts(lapwing))
    whole = bars[0] / min(1, shares[0])
    assert bars == pytest.approx([min(1, share) * whole for share in shares], abs=0.02)


def test_what_is_over_its_limit_is_drawn_beyond_it(lapwing):
    result = limited(lapwing, 9)
    over = [drop.share for drop in drops(result) if drop.share > 1]
    bars = [b for d in drop_charts(result) for b in shapes(d, "rect", "over")]
    assert len(bars) == len(over) == 4
    full = max(widths(drop_charts(result)))
    assert [float(b.get("width")) / full for b in bars] == pytest.approx(
        [min(share, SCALE) - 1 for share in over], abs=0.01
    )


@pytest.mark.parametrize("count", [1, 27, 28, 110, 111, 300])
def test_many_circuits_take_several_charts_and_none_is_lost(lapwing, count):
    charts = drop_charts(limited(lapwing, count))
    assert [f for d in charts for f in faults(d)] == []
    assert all(d.width_mm <= 170 and d.height_mm <= 245 for d in charts)
    texts = [t.text for d in charts for t in letterings(d)]
    assert all(texts.count(str(100 + n)) >= 1 for n in range(count))
    assert sum(len(shapes(d, "rect", "drop")) for d in charts) == count

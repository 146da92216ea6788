"""The alternator's curve: every state where its speed and demand put it, nothing on another."""

from dataclasses import replace

import pytest

from buildbook.drawing.charts.alternator import AREA, alternator_chart
from tests.drawing.reading import faults, letterings, shapes


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_dots_stand_at_speed_and_demand_of_their_state(vehicle, request):
    result = request.getfixturevalue(vehicle)
    (drawing,) = alternator_chart(result)
    assert faults(drawing) == []
    drawn = [b for b in result.supply.balances if b.demand_a > 0.05]
    dots = shapes(drawing, "circle", "state")
    assert len(dots) == len(drawn)
    fastest = max(drawn, key=lambda b: b.engine_rpm)
    per_rpm = (float(dots[drawn.index(fastest)].get("cx")) - AREA.x) / fastest.engine_rpm
    for dot, balance in zip(dots, drawn, strict=True):
        there = AREA.x + per_rpm * balance.engine_rpm
        assert float(dot.get("cx")) == pytest.approx(there, abs=0.01)


def test_dots_under_the_curve_are_those_that_charge(lapwing):
    """A running state's dot stands higher, the more its loads take."""
    drawn = [b for b in lapwing.supply.balances if b.demand_a > 0.05]
    dots = shapes(*alternator_chart(lapwing), "circle", "state")
    running = [(b, float(d.get("cy"))) for b, d in zip(drawn, dots, strict=True) if b.limit_a > 0]
    by_demand = sorted(running, key=lambda pair: pair[0].demand_a)
    heights = [y for _, y in by_demand]
    assert heights == sorted(heights, reverse=True)


def test_key_names_every_state_with_demand_and_limit(lapwing):
    texts = " ".join(t.text for t in letterings(*alternator_chart(lapwing)))
    for balance in lapwing.supply.balances:
        if balance.demand_a > 0.05:
            limit = f"{balance.limit_a:.1f} A" if balance.limit_a else "0 A"
            assert f"{balance.state}: {balance.demand_a:.1f} A of {limit}" in texts


def test_many_states_keep_to_the_page(lapwing):
    model = lapwing.supply.balances[3]
    many = tuple(replace(model, state=f"state {n}", engine_rpm=100.0 * n) for n in range(1, 80))
    supply = replace(lapwing.supply, balances=many)
    (drawing,) = alternator_chart(replace(lapwing, supply=supply))
    assert drawing.height_mm <= 240
    assert {f"state state {n}" for n in range(41, 80)} <= set(drawing.left_out)
    assert "state state 40" not in drawing.left_out
    assert faults(drawing) == []

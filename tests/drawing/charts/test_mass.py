"""Mass chart: bars and sums are the masses of wires, covers and written parts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.drawing.charts.mass import mass_charts
from buildbook.parts.mass import harness_masses
from tests.drawing.reading import faults, letterings, shapes


def masses_of(result):
    return harness_masses(
        result.vehicle, result.harness, result.sizing, result.finished_runs, result.bill
    )


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_wires_of_all_harnesses_weigh_what_all_wire_does(vehicle, request):
    result = request.getfixturevalue(vehicle)
    whole = sum(mass.wires_kg for mass in masses_of(result).values())
    listed = {
        (family, c.label): c.kg_per_m
        for family, wire in result.vehicle.wire_families.items()
        for c in wire.conductors
    }
    chosen = {w.wire: listed[w.family, w.label] for w in result.sizing.wires.values()}
    expected = sum(w.cut_m * chosen[w.id] for w in result.harness.wires.values())
    assert whole == pytest.approx(expected)


def test_covers_are_what_the_dressed_pieces_weigh_over_their_wires(motorcycle):
    """Side by side, a wire is as long as its run: the rest of a piece's mass is its cover."""
    from buildbook.sizing.finished_runs import conductor_of

    runs = {run.id: run for run in motorcycle.vehicle.runs}
    flat = {id_: d for id_, d in motorcycle.finished_runs.items() if d.lay_up is None}
    assert flat
    masses = harness_masses(
        motorcycle.vehicle, motorcycle.harness, motorcycle.sizing, flat, motorcycle.bill
    )
    rest = sum(
        piece.mass_kg
        - runs[id_].length_m
        * sum(
            conductor_of(motorcycle.vehicle, motorcycle.sizing.wires[w]).kg_per_m
            for w in piece.wires
        )
        for id_, piece in flat.items()
    )
    assert sum(mass.covers_kg for mass in masses.values()) == pytest.approx(rest, abs=1e-6)


def test_a_housing_weighs_on_its_harness_once_its_mass_is_written(lapwing):
    line = next(x for x in lapwing.bill.lines if x.keys[0].startswith("housing ") and x.part)
    text = lapwing.vehicle.description
    part = text.parts[line.part].model_copy(update={"mass": 0.05})
    text = text.model_copy(update={"parts": text.parts | {line.part: part}})
    heavier = replace(lapwing, vehicle=replace(lapwing.vehicle, description=text))
    before, after = masses_of(lapwing), masses_of(heavier)
    gained = sum(after[h].connectors_kg - before[h].connectors_kg for h in after)
    assert gained == pytest.approx(0.05 * line.need.quantity)
    touched = {use.harness for use in line.need.uses}
    assert all(after[h].unweighed < before[h].unweighed for h in touched)
    assert any(shapes(d, "rect", "connectors") for d in mass_charts(heavier))


@pytest.mark.parametrize("vehicle", ["two_wire", "motorcycle", "lapwing"])
def test_the_chart_shows_every_harness_and_its_grams(vehicle, request):
    result = request.getfixturevalue(vehicle)
    charts, masses = mass_charts(result), masses_of(result)
    assert charts and [f for d in charts for f in faults(d)] == []
    texts = [t.text for d in charts for t in letterings(d)]
    for name, mass in masses.items():
        assert texts.count(name) == 1
        assert f"{mass.total_kg * 1000:.0f} g" in texts
    bars = [float(b.get("width")) for d in charts for b in shapes(d, "rect", "wires")]
    heaviest = max(mass.wires_kg for mass in masses.values())
    assert bars == pytest.approx(
        [mass.wires_kg / heaviest * max(bars) for mass in masses.values()], abs=0.02
    )


def test_many_harnesses_take_several_charts(lapwing, monkeypatch):
    model = masses_of(lapwing)["cabin"]
    many = {f"harness with a long name {n}": model for n in range(70)}
    monkeypatch.setattr("buildbook.drawing.charts.mass.harness_masses", lambda *_: many)
    charts = mass_charts(lapwing)
    assert [f for d in charts for f in faults(d)] == []
    assert sum(len(shapes(d, "rect", "wires")) for d in charts) == 70
    assert all(d.height_mm <= 250 for d in charts)

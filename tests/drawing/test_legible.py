"""Every drawing of every test vehicle can be read: nothing overlaps, leaves the sheet, is tiny."""

from __future__ import annotations

import pytest

from buildbook.drawing.chart import charging_chart, cost_chart, fuse_chart, power_diagram
from buildbook.drawing.face import face, faces
from buildbook.drawing.layout import layouts
from buildbook.drawing.panel import panels
from buildbook.drawing.section import sections
from tests.drawing.reading import faults

VEHICLES = ("two_wire", "motorcycle", "lapwing")


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("draw", [faces, panels, layouts, sections])
def test_lettering_stands_clear_on_its_sheet(vehicle, draw, request):
    drawings = draw(request.getfixturevalue(vehicle))
    assert drawings
    assert [f for d in drawings.values() for f in faults(d)] == []


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("draw", [charging_chart, fuse_chart, cost_chart, power_diagram])
def test_charts_stand_clear_on_their_sheet(vehicle, draw, request):
    assert faults(draw(request.getfixturevalue(vehicle))) == []


def test_mating_views_are_as_legible(lapwing):
    views = [face(lapwing, c, mating=True) for c in lapwing.harness.connectors.values()]
    assert [f for d in views for f in faults(d)] == []


def test_drawings_fit_their_page(lapwing):
    upright = [*faces(lapwing).values(), *sections(lapwing).values(), charging_chart(lapwing),
               fuse_chart(lapwing), cost_chart(lapwing)]  # fmt: skip
    turned = [*layouts(lapwing).values(), *panels(lapwing).values(), power_diagram(lapwing)]
    assert all(d.width_mm <= 170 and d.height_mm <= 250 for d in upright)
    assert all(d.width_mm <= 267 and d.height_mm <= 180 for d in turned)

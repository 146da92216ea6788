"""Where things are: every place numbered on the plan and in its key, nothing through a number."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from buildbook.drawing.maps.plan import plans
from buildbook.drawing.shared.clear import crosses
from tests.drawing.reading import faults, letterings, points, shapes

CAPPED_AT = {"E2", "E4", "boot-lid"}
"""Points of the example's rope at which its YAML caps wires for what comes later."""


def with_places(result, count):
    """The result with `count` more devices at as many more places, in rows."""
    model = result.vehicle.devices["boost-sensor"]
    text = result.vehicle.description
    spots = {f"place-{n}": (0.3 + 0.05 * (n % 66), -0.7 + 0.1 * (n // 66)) for n in range(count)}
    more = [replace(model, id=f"a sensor with a long name {name}", point=name) for name in spots]
    plan = text.plan.model_copy(update={"places": text.plan.places | spots})
    devices = result.vehicle.devices | {d.id: d for d in more}
    text = text.model_copy(update={"plan": plan})
    return replace(result, vehicle=replace(result.vehicle, description=text, devices=devices))


def test_a_vehicle_without_places_has_no_plan(two_wire):
    assert plans(two_wire) == ()


def test_places_are_no_further_apart_than_their_rope(lapwing):
    places = lapwing.vehicle.description.plan.places
    for run in lapwing.vehicle.runs:
        assert math.dist(places[run.from_point], places[run.to_point]) <= run.length_m, run.id


@pytest.mark.parametrize("more", [0, 60, 200])
def test_every_place_is_numbered_once_in_the_plan_and_once_in_the_key(lapwing, more):
    sheets = plans(with_places(lapwing, more))
    found = [fault for sheet in sheets for fault in faults(sheet)]
    assert [fault for fault in found if not more or " over " in fault or "outside" in fault] == []
    held = {d.point for d in lapwing.vehicle.devices.values()} | CAPPED_AT
    count = len(held & lapwing.vehicle.description.plan.places.keys()) + more
    inside = [
        t.text
        for s in sheets
        for t in letterings(s)
        if 6 < t.box.x < s.width_mm - 6 and 6 < t.box.y < s.height_mm - 6
    ]
    numbers = [str(number) for number in range(1, count + 1)]
    missing = [number for number in numbers if inside.count(number) != 2]
    said = f"{len(missing)} numbers of the key found no room"
    assert all(inside.count(number) == 1 for number in missing)
    assert bool(missing) == any(t.startswith(said) for t in inside)
    assert not missing or more == 200


def test_where_spare_wires_end_in_caps_a_ring_stands_and_the_key_says_so(lapwing):
    """So that what comes later is found, and no rope ends at nothing."""
    (sheet,) = plans(lapwing)
    said = [t.text for t in letterings(sheet)]
    for point in CAPPED_AT:
        (row,) = (text for text in said if text.startswith(f"{point}:"))
        assert "capped wires" in row
    rings = [s for s in shapes(sheet, "circle", "mark") if s.get("fill") == "#ffffff"]
    assert len(rings) == len(CAPPED_AT)


def test_the_vehicle_is_as_large_as_the_key_leaves_room_for(lapwing):
    """4.6 m by 1.7 m and 60 places: 1 : 20; with 60 more places the key asks for room."""
    scales = [
        next(
            t.text
            for t in letterings(plans(with_places(lapwing, more))[0])
            if t.text.startswith("1:")
        )
        for more in (0, 60)
    ]
    assert scales == ["1:20", "1:25"]


@pytest.mark.parametrize("more", [0, 60])
def test_no_rope_or_leader_runs_through_a_number(lapwing, more):
    sheet = plans(with_places(lapwing, more))[0]
    lines = shapes(sheet, "polyline", "rope") + shapes(sheet, "polyline", "leader")
    lines += shapes(sheet, "polyline", "wall")
    assert lines
    for text in letterings(sheet):
        assert not any(crosses(*points(line), text.box) for line in lines), text.text

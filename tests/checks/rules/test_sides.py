"""Left and right: places, twins wired differently, pins that only one side uses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.checks.rules import sides_crossed, twin_pin_unused, twins_swapped
from tests.checks import minimal as m
from tests.checks.bench import about

PLAN = {"length": "4 m", "width": "2 m", "places": {"P": ["1 m", "600 mm"]}}


@pytest.mark.parametrize(
    ("name", "point", "fires"),
    [
        ("headlamp-right", "nose-left", ["headlamp-right"]),
        ("headlamp-right", "nose-right", []),
        ("headlamp-right", "nose", []),
        ("headlamp", "nose-left", []),
    ],
)
def test_device_of_one_side_at_a_place_of_the_other(name, point, fires):
    lamp = m.device(name, "lamp", "1", point=point)
    assert about(sides_crossed, m.assessed(m.vehicle((lamp,)))) == fires


@pytest.mark.parametrize(("name", "fires"), [("lamp-left", ["lamp-left"]), ("lamp-right", [])])
def test_plan_tells_the_side_where_the_place_does_not(name, fires):
    """P is 600 mm right of the middle."""
    vehicle = m.vehicle((m.device(name, "lamp", "1"),), plan=PLAN)
    assert about(sides_crossed, m.assessed(vehicle)) == fires


def test_switch_for_the_left_may_be_on_the_right():
    switch = m.device("window-left", "switch", "1 2", point="door-right")
    assert about(sides_crossed, m.assessed(m.vehicle((switch,)))) == []


def lamps(right_dipped: str, right_main: str, right_unused: str = ""):
    """Two headlamps; the pins of the right one that dipped and main beam go to."""
    left, right = (m.device(f"lamp-{side}", "lamp", "1 2 3") for side in ("left", "right"))
    pins = tuple(replace(p, unused=p.name == right_unused) for p in right.pins)
    circuits = {
        "dipped": ("lamp-left.1", f"lamp-right.{right_dipped}"),
        "main": ("lamp-left.2", f"lamp-right.{right_main}"),
        "left ground": ("lamp-left.3", "lamp-left.3"),
    }
    if not right_unused:
        circuits["right ground"] = ("lamp-right.3", "lamp-right.3")
    return m.assessed(m.vehicle((left, replace(right, pins=pins)), circuits))


@pytest.mark.parametrize(("dipped", "main", "fires"), [("1", "2", []), ("2", "1", ["lamp-right"])])
def test_beams_swapped_on_one_side(dipped, main, fires):
    assert about(twins_swapped, lamps(dipped, main)) == fires


def test_pin_that_only_the_left_uses():
    assert about(twin_pin_unused, lamps("1", "2", right_unused="3")) == ["lamp-right.3"]
    assert about(twin_pin_unused, lamps("1", "2")) == []

"""The panel's face: every fuse and relay in its place, loads drawn in proportion."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from buildbook.drawing.faces.panel import _relay_cell, listed, load_names, mounted, panels
from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from tests.drawing.reading import faults, letterings, shapes


def test_fuses_stand_in_the_order_of_their_slots(lapwing):
    (panel,) = lapwing.vehicle.all_of("panel")
    slots = [d.written.slot for d in mounted(lapwing, panel, "fuse")]
    known = [s for s in slots if s is not None]
    assert known and known == sorted(known)
    assert slots == known + [None] * (len(slots) - len(known))


def test_panel_shows_every_fuse_and_relay_that_it_carries(lapwing):
    for panel_id, (drawing,) in panels(lapwing).items():
        texts = [t.text for t in letterings(drawing)]
        carried = [d for d in lapwing.vehicle.devices.values() if d.panel == panel_id]
        assert carried
        for device in carried:
            starts = (device.id, f"{device.id},", f"{device.id} ")
            assert any(t == device.id or t.startswith(starts[1:]) for t in texts), device.id


def test_terminals_of_a_relay_without_a_line_of_their_own_are_left_out_by_name(lapwing):
    """A relay of four terminals in a cell of two lines, as on a very full panel."""
    relay = lapwing.vehicle.devices["K1"]
    tight, roomy = Canvas(60, 40), Canvas(60, 40)
    _relay_cell(tight, lapwing, Box(0, 0, 50, 20), relay, 2)
    _relay_cell(roomy, lapwing, Box(0, 0, 50, 30), relay, 6)
    assert tight.left_out == ["K1 85: G7.stud", "K1 86: switch-panel.2"]
    assert not roomy.left_out


def test_a_relays_name_takes_the_lines_that_its_terminals_leave(lapwing):
    """Four terminals in a cell of six lines: the name was cut beside room for two lines more."""
    relay = replace(lapwing.vehicle.devices["K1"], title="Ignition bus relay of the cabin")
    roomy, tight = Canvas(60, 40), Canvas(60, 40)
    _relay_cell(roomy, lapwing, Box(0, 0, 40, 25), relay, 6)
    _relay_cell(tight, lapwing, Box(0, 0, 40, 25), relay, 4)
    said = [t.text for t in letterings(roomy.drawing("a", "a"))]
    assert "K1 Ignition bus" in said and "relay of the cabin" in said
    assert sum(":" in text for text in said) == 4 and not roomy.left_out
    cut = [t.text for t in letterings(tight.drawing("a", "a"))]
    assert any(t.startswith("K1 ") and t.endswith("…") for t in cut) and not tight.left_out


def test_bar_is_as_long_as_load_against_rating(lapwing):
    ((drawing,),) = panels(lapwing).values()
    (panel,) = lapwing.vehicle.all_of("panel")
    loads = [float(r.get("width")) for r in shapes(drawing, "rect", "load")]
    ratings = [float(r.get("width")) for r in shapes(drawing, "rect", "rating")]
    fuses = [lapwing.sizing.fuses[d.id] for d in mounted(lapwing, panel, "fuse")]
    assert len(loads) == len(ratings) == len(fuses)
    for load, rating, fuse in zip(loads, ratings, fuses, strict=True):
        assert abs(load / rating - min(1, fuse.load_a / fuse.rating_a)) < 0.002


def test_relay_terminals_carry_their_din_numbers(lapwing):
    ((drawing,),) = panels(lapwing).values()
    texts = [t.text for t in letterings(drawing)]
    (panel,) = lapwing.vehicle.all_of("panel")
    relays = mounted(lapwing, panel, "relay")
    assert relays
    for number in ("30", "87", "85", "86"):
        assert texts.count(number) >= len(relays)


def test_a_relays_coil_is_named_as_the_relays(lapwing):
    relay = lapwing.vehicle.all_of("relay")[0]
    assert load_names(lapwing, (f"{relay.id}.coil",)) == f"{relay.id} coil"


@pytest.mark.parametrize("count", [20, 60, 100, 200, 350])
def test_a_crowded_panel_still_overlaps_nothing_and_keeps_to_its_sheet(lapwing, count):
    (panel,) = lapwing.vehicle.all_of("panel")
    fuse = mounted(lapwing, panel, "fuse")[0]
    more = {f"F{n}x": replace(fuse, id=f"F{n}x") for n in range(count)}
    vehicle = replace(lapwing.vehicle, devices=lapwing.vehicle.devices | more)
    ((drawing,),) = panels(replace(lapwing, vehicle=vehicle)).values()
    assert faults(drawing) == []
    assert drawing.width_mm <= 267 and drawing.height_mm <= 180
    assert more.keys() <= {t.text.split(",")[0] for t in letterings(drawing)}
    assert len(shapes(drawing, "rect", "fuse")) == count + len(mounted(lapwing, panel, "fuse"))


@pytest.mark.parametrize("vehicle", ["motorcycle", "lapwing"])
def test_what_a_fuse_feeds_is_never_cut_within_a_name(vehicle, request):
    for (drawing,) in panels(request.getfixturevalue(vehicle)).values():
        assert [t.text for t in letterings(drawing) if t.text.endswith("…")] == []


def test_a_half_empty_panel_names_everything_that_its_fuses_feed(motorcycle):
    ((drawing,),) = panels(motorcycle).values()
    assert not any(re.search(r"\d+ more$", t.text) for t in letterings(drawing))


def test_what_is_left_out_of_a_list_is_counted():
    names = ["Left headlamp", "Right headlamp", "Rain lamp", "Horn"]
    assert listed(names, 20.0, 2) == ["Left headlamp", "and 3 more"]
    assert listed(names, 40.0, 9)[-1].endswith("Horn")

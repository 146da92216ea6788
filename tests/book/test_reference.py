"""Fuse by fuse, ground by ground, and what connectors read unplugged, in the book."""

from __future__ import annotations

import pytest

from buildbook.book.chapters import faces, reference
from buildbook.book.formats import reading, short_reading
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


def html(result, chapter) -> str:
    vehicle = result.vehicle.description.vehicle
    return chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), result.vehicle.supply)


def test_every_fuse_and_ground_has_its_line(result):
    (chapter,) = reference.chapters(result, undrawn(result))
    for kind, rows in (("fuse", "fuses"), ("ground", "grounds")):
        shown = [row[0].device.id for row in chapter.context[rows]]
        assert shown == [device.id for device in result.vehicle.all_of(kind)]


def test_a_fuse_says_what_it_feeds_what_dies_and_what_looks_the_same(motorcycle):
    (chapter,) = reference.chapters(motorcycle, undrawn(motorcycle))
    row = next(r for r, _ in chapter.context["fuses"] if r.device.id == "F3")
    assert row.hanging == "Headlamp"
    assert row.dies == ["Dead: Headlamp"]
    # The dip switch's feed pin kills both beams just as the fuse does.
    assert "light-switch.1" in row.alike
    assert row.alike in html(motorcycle, chapter)


def test_a_ground_says_whose_return_it_is(motorcycle):
    (chapter,) = reference.chapters(motorcycle, undrawn(motorcycle))
    row = next(r for r, *_ in chapter.context["grounds"] if r.device.id == "G2")
    for title in ("Headlamp", "Flasher unit", "Front left indicator", "Horn button"):
        assert title in row.hanging
    assert "Starter" not in row.hanging


def test_a_pin_stands_with_its_volts_unplugged(result):
    every = tuple(result.harness.connectors.values())
    chapter = faces.faces_of(result, undrawn(result), every, ())
    text = html(result, chapter)
    for shown in chapter.context["connectors"]:
        assert all(f"plug off: {state}" in text for state in shown.off_states)
        assert all(len(row.off) == len(shown.off_states) for row in shown.pins)
    lamp = next(iter(result.unplugged.values()))
    shown = [r for at in lamp.readings.values() for r in at.values()]
    assert shown
    assert all(reading(r) in text or short_reading(r) in text for r in shown)


def test_a_pin_says_its_terminal_and_seal(lapwing):
    """As the description has it: plug A takes pin-1.5 sealed, the switch panel unsealed; rings
    stand on the battery; the half on the wheel mates with the one on the column."""
    every = tuple(lapwing.harness.connectors.values())
    devices = tuple(lapwing.vehicle.devices.values())
    chapter = faces.faces_of(lapwing, undrawn(lapwing), every, devices)
    connectors = {shown.connector.id: shown.pins for shown in chapter.context["connectors"]}
    said = {row.pin.id: row.fitted for rows in connectors.values() for row in rows}
    studs = {row.pin.id: row.fitted for _, rows in chapter.context["studs"] for row in rows}
    assert said["ecu.A1"] == "pin-1.5, seal"
    assert said["switch-panel.1"] == "pin-1.5"
    assert said["switch-panel.18"] == ""  # nothing in it
    assert studs["battery.+"] == "ring-M8"
    assert {row.fitted for row in connectors["X6/steering"] if row.wires} == {"pin-1.5 mate"}
    assert {row.fitted for row in connectors["X6/cabin"] if row.wires} == {"pin-1.5"}
    text = html(lapwing, chapter)
    assert "Terminal pin-1.5, seal" in text and "Terminal pin-1.5 mate" in text

"""Fuse by fuse, ground by ground, and what connectors read unplugged, in the book."""

from __future__ import annotations

import pytest

from buildbook.book.chapters import faces, reference
from buildbook.book.drawings import Drawings
from buildbook.book.words import PageMap, chapter_html, number


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


def html(result, chapter) -> str:
    vehicle = result.vehicle.description.vehicle
    return chapter_html(chapter, 1, (chapter,), vehicle, PageMap())


def test_every_fuse_and_ground_has_its_line(result):
    (chapter,) = reference.chapters(result, Drawings())
    for kind, rows in (("fuse", "fuses"), ("ground", "grounds")):
        shown = [row["device"].id for row in chapter.context[rows]]
        assert shown == [device.id for device in result.vehicle.all_of(kind)]


def test_a_fuse_says_what_it_feeds_what_dies_and_what_looks_the_same(motorcycle):
    (chapter,) = reference.chapters(motorcycle, Drawings())
    row = next(r for r in chapter.context["fuses"] if r["device"].id == "F3")
    assert row["hanging"] == "Headlamp"
    assert row["dies"] == ["Dead: Headlamp"]
    # The dip switch's feed pin kills both beams just as the fuse does.
    assert "light-switch.1" in row["alike"]
    assert row["alike"] in html(motorcycle, chapter)


def test_a_ground_says_whose_return_it_is(motorcycle):
    (chapter,) = reference.chapters(motorcycle, Drawings())
    row = next(r for r in chapter.context["grounds"] if r["device"].id == "G2")
    for title in ("Headlamp", "Flasher unit", "Front left indicator", "Horn button"):
        assert title in row["hanging"]
    assert "Starter" not in row["hanging"]


def test_a_pin_stands_with_its_volts_unplugged(result):
    every = tuple(result.harness.connectors.values())
    chapter = faces.faces_of(result, Drawings(), every, ())
    text = html(result, chapter)
    for _, _, rows, _, states in chapter.context["connectors"]:
        assert all(f"plug off: {state}" in text for state in states)
        assert all(len(row["off"]) == len(states) for row in rows)
    lamp = next(iter(result.unplugged.values()))
    volts = [v for at in lamp.volts.values() for v in at.values()]
    assert volts
    assert all(number(v) in text for v in volts)

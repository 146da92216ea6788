"""Fuse by fuse, ground by ground, and what connectors read unplugged, in the book."""

from __future__ import annotations

import pytest

from buildbook.book import pin_columns
from buildbook.book.chapter import anchor
from buildbook.book.chapters import faces, harnesses, reference
from buildbook.book.formats import short_reading
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.words.say import in_language
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


def test_a_ground_of_many_names_the_first_and_counts_the_others():
    eight = tuple("ABCDEFGH")
    assert reference.hung(eight) == "A, B, C, D, E, F, G and H"
    assert reference.hung((*eight, "I", "J")) == "A, B, C, D and 6 more"
    assert reference.hung(()) == ""


def sheets_of(result) -> list:
    """The chapters of every harness: connectors stand with the one that is pinned into them."""
    return list(harnesses.chapters(result, undrawn(result)))


def test_a_pin_stands_with_its_volts_unplugged(result):
    made = sheets_of(result)
    text = "".join(html(result, chapter) for chapter in made)
    plugs = [plug for chapter in made for plug in chapter.context["terminations"]]
    assert {plug.sheet.name for plug in plugs} == result.harness.connectors.keys()
    for plug in plugs:
        assert all(f"plug off: {state}" in text for state in plug.off_states)
        assert all(len(row.off) == len(plug.off_states) for row in plug.pins.values())
    lamp = next(iter(result.unplugged.values()))
    shown = [r for at in lamp.readings.values() for r in at.values()]
    assert shown
    assert all(short_reading(r) in text for r in shown)


def test_a_connector_has_one_place_that_links_lead_to(result):
    text = "".join(html(result, chapter) for chapter in sheets_of(result))
    for name in result.harness.connectors:
        assert text.count(f'id="{anchor("connector", name)}"') == 1


def test_a_pin_says_its_terminal_and_seal(lapwing):
    """As the description has it: plug A takes pin-1.5 sealed, the switch panel unsealed; rings
    stand on the battery; the half on the wheel mates with the one on the column."""
    made = sheets_of(lapwing)
    plugs = {p.sheet.name: p.pins for chapter in made for p in chapter.context["terminations"]}
    said = {pin: row.fitted for pins in plugs.values() for pin, row in pins.items()}
    (terminals,) = faces.chapters(lapwing, undrawn(lapwing))
    studs = {row.pin.id: row.fitted for _, rows in terminals.context["studs"] for row in rows}
    assert said["ecu.A1"] == "pin-1.5, seal"
    assert said["switch-panel.1"] == "pin-1.5"
    assert said["switch-panel.18"] == ""  # nothing in it
    assert studs["battery.+"] == "ring-M8"
    assert {row.fitted for row in plugs["X6/steering"].values() if row.wires} == {"pin-1.5 mate"}
    assert {row.fitted for row in plugs["X6/cabin"].values() if row.wires} == {"pin-1.5"}
    text = "".join(html(lapwing, chapter) for chapter in made)
    assert "wire seal pin-1.5 for the size" in text and "Mating terminal pin-1.5, strip" in text


def test_use_beside_a_face_has_the_room_that_the_other_columns_do_not_need():
    """A table of 130 mm with four readings: a long use stands on one line."""
    shares = pin_columns.beside_shares(130.0, 4, gauges=False)
    assert shares[-1] * 130.0 / 100 > 35.0
    rest = 130.0 * (1 - sum(shares) / 100)
    assert rest / 4 >= pin_columns.READING_MM - 0.1


def test_a_narrow_table_beside_a_face_gives_each_column_its_part():
    assert pin_columns.beside_shares(104.0, 5, gauges=False) == pin_columns.BESIDE_SHARES
    assert pin_columns.beside_shares(104.0, 5, gauges=True) == pin_columns.GAUGE_SHARES


def test_other_languages_have_room_for_their_longer_heads_beside_a_face():
    with in_language("de"):
        assert pin_columns.beside_shares(104.0, 5, gauges=False) == (8.6, 7.9, 9.4, 8.5, 5.5, 16.1)
        assert pin_columns.beside_shares(104.0, 5, gauges=True)[3:] == (11.0, 5.5, 13.6)

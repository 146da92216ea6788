"""What drivers say, as it stands in the book and on the trackside pages."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import trackside, troubleshooting
from buildbook.book.complaints import complaints
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn


def text_of(result, maker) -> str:
    (chapter,) = maker.chapters(result, undrawn(result))
    html = chapter_html(
        chapter, 1, (chapter,), result.vehicle.description.vehicle, PageMap(), result.vehicle.supply
    )
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.fixture(scope="module")
def texts(lapwing):
    return [text_of(lapwing, maker) for maker in (troubleshooting, trackside)]


def test_every_name_of_the_author_is_printed_with_its_causes_and_checks(lapwing, texts):
    assert len(lapwing.vehicle.complaints) >= 5
    for text in texts:
        for symptom in lapwing.vehicle.complaints:
            assert symptom.name[1:] in text
            for cause in symptom.written.causes:
                said = f"{cause.what} ( {cause.likely}"
                assert said.replace("( ", "(") in text.replace("( ", "(")
                assert cause.check in text


def test_causes_that_touch_fuel_stand_under_a_fuel_caution(texts):
    for text in texts:
        end = text.index("No fuel in the tank")
        start = text.rindex("Cranks but does not fire", 0, end)
        block = text[start:end]
        assert "CAUTION" in block and "o sparks, no test lamp" in block


def test_leads_turn_to_the_number_of_their_own_tree(lapwing):
    groups = troubleshooting.printed(lapwing, troubleshooting.grouped(lapwing))
    places = troubleshooting.place_of(groups)
    numbers = [entry.number for _, entries in groups for entry in entries]
    shown = complaints(lapwing, places)
    own = [s.number for s in shown if s.own]
    assert sorted(own + numbers) == list(range(1, len(own) + len(numbers) + 1))
    for complaint in shown:
        for pattern in complaint.patterns:
            for lead in pattern.leads:
                assert places[lead.anchor] == (lead.number, lead.heading)
            left = {n for line in pattern.lines for n in re.findall(r"\d+", line.low_then)}
            assert left or not pattern.lines


def test_each_says_where_it_is_first_seen_and_what_it_can_do_to_hands(lapwing):
    groups = troubleshooting.printed(lapwing, troubleshooting.grouped(lapwing))
    shown = {s.name: s for s in complaints(lapwing, troubleshooting.place_of(groups))}
    assert shown["cranks but does not fire"].state == "cranking"
    assert shown["fans never run"].state == "idle"  # the fans stand still with the engine
    assert {"hot", "moving"} <= {*shown["fans never run"].cautions}


def test_a_symptom_with_the_authors_name_says_both(lapwing):
    rows = [row for rows in troubleshooting.grouped(lapwing).values() for row in rows]
    named = {row.symptom.called: row.heading for row in rows if row.symptom.called}
    heading = named["blows the brake lamp fuse when braking"]
    said, _, worked_out = heading.partition(": ")
    assert said == "Blows the brake lamp fuse when braking" and worked_out.endswith("blows F11")


def test_vehicles_without_names_print_as_before(two_wire):
    assert "What a driver says" not in text_of(two_wire, troubleshooting)

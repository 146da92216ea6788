"""Build sheets say each thing once, side by side where it is short."""

from __future__ import annotations

import pytest

from buildbook.book.chapter import Chapter
from buildbook.book.chapters import harnesses
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.book.chapter_words import words_of
from tests.once import drawings_of, undrawn


@pytest.fixture
def sheets(motorcycle) -> tuple[Chapter, str]:
    (chapter,) = harnesses.chapters(motorcycle, undrawn(motorcycle))
    return chapter, words_of(motorcycle, chapter)


def test_what_is_weighed_at_one_step_stands_on_one_line(sheets):
    chapter, text = sheets
    sheet = chapter.context["sheet"]
    wires, cover = (round(1000 * kg) for kg in (sheet.mass.wires, sheet.mass.cover))
    assert (
        f"this and L | {wires} | | cover | C: sleeve or tape of the runs, as cut | {cover}" in text
    )
    done = round(1000 * (sheet.mass.wires + sheet.mass.cover))
    assert f"finish | The finished harness: A and L, less D | {done}" in text


def test_no_weight_is_asked_for_nearer_than_the_scales_tell_it(sheets):
    """Two weighings to 1 g each are apart by up to 1 g though all is right."""
    _, text = sheets
    assert "scales to 1 g" in text
    assert "Within a twentieth, or 2 g where that is more: right." in text
    assert "weighed, and as near as step 1 asks" in text


def test_connectors_and_labels_are_gathered_under_one_head(sheets):
    _, text = sheets
    assert text.count("Connectors and labels |") == 1 and " Labels |" not in text


def test_the_first_net_is_not_to_be_measured_against_a_bar_that_is_empty(sheets):
    _, text = sheets
    assert "before a net but the first is clipped" in text and "no bar yet" not in text


def test_the_title_of_a_small_connector_stands_over_its_table_beside_the_face(motorcycle):
    (chapter,) = harnesses.chapters(motorcycle, drawings_of(motorcycle))
    vehicle = motorcycle.vehicle.description.vehicle
    html = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), motorcycle.vehicle.supply)
    beside = html.split('<div class="beside">')[1:]
    assert len(beside) > 10
    assert all("<h3" in block.partition("</table>")[0] for block in beside)

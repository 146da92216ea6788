"""Cautions stand where the work is: read off the text as it is set."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import powerup, trackside, troubleshooting
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn

SAYS = {
    "fuel": "o sparks, no test lamp",
    "cranking": "neutral|out of gear",
    "hot": "et (them|the engine, exhaust and heaters) cool",
    "battery": "ings off|rings and watches off",
    "lifting": "stands, not the jack alone|a jack alone holds nothing",
    "moving": "fuse out before",
}
"""Words of each caution, long or short; what they warn of is common practice, no source."""


def text_of(result, maker) -> str:
    (chapter,) = maker.chapters(result, undrawn(result))
    html = chapter_html(
        chapter, 1, (chapter,), result.vehicle.description.vehicle, PageMap(), result.vehicle.supply
    )
    return " ".join(re.sub(r"<[^>]+>", " ", html.partition("</style>")[2]).split())


@pytest.fixture(scope="module")
def texts(lapwing):
    makers = {"troubleshooting": troubleshooting, "trackside": trackside, "power-up": powerup}
    return {name: text_of(lapwing, maker) for name, maker in makers.items()}


@pytest.mark.parametrize("kind", ["fuel", "cranking", "hot", "battery", "lifting"])
@pytest.mark.parametrize("chapter", ["troubleshooting", "trackside", "power-up"])
def test_each_chapter_that_works_on_live_wiring_warns_of_all_that_hurts(texts, chapter, kind):
    assert re.search(SAYS[kind], texts[chapter])


@pytest.mark.parametrize(
    ("chapter", "heading", "kind"),
    [
        ("troubleshooting", "Fuel pump dead", "fuel"),
        ("troubleshooting", "Starter motor weak", "cranking"),
        ("troubleshooting", "Alternator dead", "hot"),
        ("troubleshooting", "Gearbox speed sensor wrong reading", "lifting"),
        ("troubleshooting", "Left radiator fan dead", "moving"),
        ("trackside", "Fuel pump dead or weak", "fuel"),
        ("trackside", "Starter does nothing, or turns slowly", "cranking"),
        ("trackside", "Battery not charged while the engine runs", "hot"),
        ("trackside", "Radiator fan dead or weak", "moving"),
    ],
)
def test_a_tree_that_touches_a_dangerous_part_warns_in_its_own_head(texts, chapter, heading, kind):
    heads = [m.end() for m in re.finditer(re.escape(heading), texts[chapter])]
    assert heads
    near = [texts[chapter][end : end + 700] for end in heads]
    assert any(re.search(f"^[^.]{{0,60}}CAUTION.*({SAYS[kind]})", text) for text in near)


def test_battery_posts_warn_where_they_are_suspects(texts):
    for chapter, named in (("troubleshooting", "battery.+ stud"), ("trackside", "nut battery.+")):
        at = texts[chapter].index(named)
        assert re.search(f"CAUTION[^◊]*({SAYS['battery']})", texts[chapter][max(0, at - 1200) : at])

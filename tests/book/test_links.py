"""Links that lead nowhere stop the book; no book that is made has one."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from buildbook.book.chapters import front, index, powerup
from buildbook.book.editions import (
    EDITIONS,
    HELPER,
    ORDER,
    TRACKSIDE,
    WHOLE,
    WORKINGS,
    Edition,
    chapters_of,
    helper_pack,
)
from buildbook.book.links import Link, broken_links
from buildbook.book.make import PASSES, BookError, BrokenLinks, make_book, set_chapters
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import Rendered
from buildbook.book.templates import author_text, chapter_html
from buildbook.cli import main
from buildbook.pipeline import quiet
from buildbook.result import Result
from tests.conftest import TESTS
from tests.once import drawings_of, undrawn

TORN = Edition("torn", "torn book", "Power-up alone.", (front.chapters, powerup.chapters))
"""The power-up leads to the balance of the chapter at a glance, which this edition has not got."""


def test_a_link_is_broken_where_no_page_has_its_anchor():
    html = {
        "fuel": '<p><a class="id" href="book:wire-1">wire <b>1</b></a> <a href="#x">x</a></p>',
        "index": '<a href="book:wire-2">2</a>',
    }
    assert broken_links(html, {"wire-2"}) == (Link("fuel", "wire 1", "wire-1"),)


def test_a_broken_link_stops_the_book_and_is_named_with_chapter_text_and_target(two_wire, tmp_path):
    with pytest.raises(BrokenLinks, match="chapter powerup: “0–0” leads to chapter-glance"):
        make_book(
            two_wire, undrawn(two_wire), tmp_path / "book.pdf", quiet, workers=1, edition=TORN
        )
    assert [*tmp_path.iterdir()] == []


def test_make_says_which_link_is_broken_and_ends_with_one(tmp_path, monkeypatch):
    monkeypatch.setitem(EDITIONS, "order", TORN)
    vehicle = TESTS / "vehicles" / "two-wire"
    words = ["make", str(vehicle), "--edition", "order", "--out", str(tmp_path)]
    ended = CliRunner().invoke(main, words)
    assert ended.exit_code == 1
    assert "chapter powerup: “0–0” leads to chapter-glance" in ended.stderr
    assert "mistake of the program" in ended.stderr
    assert [*tmp_path.iterdir()] == []


def ids_of(html: dict[str, str]) -> list[str]:
    return re.findall(r' id="([^"]*)"', "".join(html.values()))


def html_of(result: Result, edition: Edition) -> dict[str, str]:
    """Every chapter, its references to pages as if each anchor stood on one page."""
    vehicle = result.vehicle.description.vehicle
    chapters = chapters_of(edition, result, drawings_of(result))

    def filled(pages: PageMap) -> dict[str, str]:
        each = enumerate(chapters)
        return {
            c.name: chapter_html(c, n, chapters, vehicle, pages, result.vehicle.supply)
            for n, c in each
        }

    first = filled(PageMap(absent=edition.absent))
    return filled(PageMap(dict.fromkeys(ids_of(first), "1–1"), {}, edition.absent))


@pytest.mark.parametrize("name", ["two_wire", "motorcycle", "starter", "lapwing"])
def test_no_edition_has_a_broken_link(name, request):
    """As written, without setting pages: where one is made, a broken link stops it."""
    result = request.getfixturevalue(name)
    packs = [helper_pack(harness) for harness in result.vehicle.description.rope]
    for edition in (WHOLE, ORDER, TRACKSIDE, WORKINGS, *packs):
        html = html_of(result, edition)
        assert broken_links(html, set(ids_of(html))) == ()


def test_a_kind_of_name_that_an_edition_leaves_out_has_no_place_in_it(motorcycle):
    """Else a link that the pack could follow would be printed as plain words."""
    for harness in motorcycle.vehicle.description.rope:
        pack = helper_pack(harness)
        assert pack.absent == HELPER.absent
        anchors = ids_of(html_of(motorcycle, pack))
        assert len(anchors) > 20
        assert [a for a in anchors if a.startswith(tuple(f"{k}-" for k in pack.absent))] == []


def test_page_references_that_never_settle_stop_the_book(two_wire):
    """A chapter that is a page longer each time it is set."""
    passes = []

    def longer(jobs):
        if jobs := [*jobs]:
            passes.append(len(jobs))
        for job in jobs:
            yield Rendered(job.name, (800.0,) * (1 + len(passes)), {})

    chapters = index.chapters(two_wire, undrawn(two_wire))
    with pytest.raises(BookError, match=f"page references of index .* in {PASSES} passes"):
        set_chapters(
            chapters,
            two_wire.vehicle.description.vehicle,
            two_wire.vehicle.supply,
            longer,
            quiet,
        )
    assert len(passes) == PASSES


def test_an_authors_link_never_leads_to_an_anchor_of_the_book():
    assert "<a" not in str(author_text("[there](book:wire-1)"))
    assert 'href="https://example.org"' in str(author_text("[there](https://example.org)"))

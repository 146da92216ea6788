"""The finished PDF: names, links, labels, bookmarks, and the same bytes twice."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader

from buildbook.book.editions import WHOLE, chapters_of
from buildbook.book.make import joined, set_chapters
from buildbook.book.workers import workers_of
from tests.book_of import book_of
from tests.once import drawings_of


def nothing(_what: str, _done: int, _total: int) -> None:
    pass


@pytest.fixture(scope="module")
def chapters(two_wire):
    vehicle = two_wire.vehicle.description.vehicle
    with workers_of(1) as workers:
        return set_chapters(
            chapters_of(WHOLE, two_wire, drawings_of(two_wire)),
            vehicle,
            two_wire.vehicle.supply,
            workers.render,
            nothing,
        )


@pytest.fixture(scope="module")
def book(two_wire, chapters):
    return PdfReader(io.BytesIO(joined(chapters, two_wire.vehicle.description.vehicle)))


def test_links_between_chapters_are_destinations_on_pages_of_the_book(book):
    references = {page.indirect_reference.idnum for page in book.pages}
    targets = []
    for page in book.pages:
        for annotation in page.get("/Annots") or ():
            link = annotation.get_object()
            assert not str(link.get("/A", {}).get("/URI", "")).startswith("book:")
            if "/Dest" in link:
                targets.append(link["/Dest"][0].idnum)
    assert len(targets) > 20
    assert set(targets) <= references


def test_a_link_in_the_contents_leads_to_the_page_that_its_label_names(book):
    labels = book.page_labels
    numbers = {page.indirect_reference.idnum: n for n, page in enumerate(book.pages)}
    contents = book.pages[0]  # of a vehicle without a plan they stand on the cover
    written = re.findall(r"\d+–\d+", contents.extract_text())
    reached = [labels[numbers[a.get_object()["/Dest"][0].idnum]] for a in contents["/Annots"]]
    assert reached
    assert set(reached) <= set(written)


def test_page_labels_are_the_numbers_in_the_footers(book):
    for label, page in zip(book.page_labels, book.pages, strict=True):
        assert label in page.extract_text()


def test_every_chapter_has_a_bookmark(book, two_wire):
    top = [item.title for item in book.outline if not isinstance(item, list)]
    chapters = chapters_of(WHOLE, two_wire, drawings_of(two_wire))
    assert len(top) == len(chapters)
    assert all(c.title in title for c, title in zip(chapters, top, strict=True))


def test_what_goes_on_below_a_chapter_is_found_under_it(book, two_wire):
    """In the bookmarks and in the contents, on a page of the chapter that it follows."""
    before, below = "", {}
    for item in book.outline:
        if isinstance(item, list):
            below[before] = {one.title: book.get_destination_page_number(one) for one in item}
        else:
            before = item.title
    chapters = chapters_of(WHOLE, two_wire, drawings_of(two_wire))
    followed = [(n, c, f) for n, c in enumerate(chapters) for f in c.followed_by]
    assert {f.name for _, _, f in followed} == {"reference", "index"}
    contents = "".join(page.extract_text() for page in book.pages[:2])
    for number, chapter, after in followed:
        (place,) = [pages[after.title] for title, pages in below.items() if chapter.title in title]
        assert book.page_labels[place].startswith(f"{number}–")
        assert after.title in contents


def test_metadata_says_vehicle_revision_and_its_date(book, two_wire):
    vehicle = two_wire.vehicle.description.vehicle
    assert vehicle.name in book.metadata.title
    assert book.metadata.creation_date.date() == vehicle.date


def test_schematic_sheets_lie_across(book, chapters):
    names = [c.name for c in chapters]
    first = sum(c.pages for c in chapters[: names.index("system-lighting")])
    boxes = [page.mediabox for page in book.pages[first : first + chapters[4].pages]]
    assert any(box.width > box.height for box in boxes)


def test_same_description_gives_the_same_bytes_in_worker_processes_too(two_wire, chapters):
    out = book_of(two_wire)
    assert out.read_bytes() == joined(chapters, two_wire.vehicle.description.vehicle)
    assert [path.name for path in out.parent.iterdir()] == ["book.pdf"]

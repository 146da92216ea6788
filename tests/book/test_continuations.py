"""A wire that leaves a sheet: the page says where it goes on, and a click leads there."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import dataclass

import pypdfium2
import pytest
from pypdf import PdfReader

from buildbook.drawing.shared.box import Box
from buildbook.drawing.shared.canvas import Canvas
from buildbook.drawing.shared.model import Drawing
from buildbook.drawing.shared.references import with_pages
from tests.book_of import book_of, texts_of
from tests.drawing.reading import letterings
from tests.drawing.svg import scene
from tests.once import schematics_of

LEFT_FREE_PT = 0.5
"""What the letters of a reference leave free on their sides, at most, in points."""
WORDS = re.compile(r"(\d+–\d+) ([A-HJ-NP-Z]\d+)")


@dataclass(frozen=True)
class Continuation:
    """One link on a page of the PDF, with what is printed in it and over it."""

    page: str
    to: str
    """Label of the page that it leads to."""
    words: str
    wire: str


@pytest.fixture(scope="module")
def sheets(lapwing) -> list[Drawing]:
    """Every schematic sheet of Lapwing, where several systems take more than one."""
    drawn = schematics_of(lapwing).values()
    assert sum(len(sheets) > 1 for sheets in drawn) > 1
    return [sheet for sheets in drawn for sheet in sheets]


@pytest.fixture(scope="module")
def pdf(lapwing) -> bytes:
    return book_of(lapwing).read_bytes()


@pytest.fixture(scope="module")
def found(pdf, lapwing) -> list[Continuation]:
    """Every link that lies on a printed continuation, which stands under its wire's number."""
    reader, seen = PdfReader(io.BytesIO(pdf)), pypdfium2.PdfDocument(pdf)
    labels = reader.page_labels
    numbers = {page.indirect_reference.idnum: n for n, page in enumerate(reader.pages)}
    found = []
    for n, page in enumerate(reader.pages):
        if page.mediabox.width < page.mediabox.height:
            continue
        text = seen[n].get_textpage()
        for link in (a.get_object() for a in page.get("/Annots") or ()):
            left, foot, right, top = sorted_box(link["/Rect"])
            words = text.get_text_bounded(left, foot, right, top).strip()
            if WORDS.fullmatch(words):
                high = top - foot
                over = text.get_text_bounded(left, top, right, top + 1.3 * high).split()
                to = labels[numbers[link["/Dest"][0].idnum]]
                if over and over[0] in lapwing.harness.wires:
                    found.append(Continuation(labels[n], to, words, over[0]))
    return found


def sorted_box(rect) -> tuple[float, float, float, float]:
    """Left, foot, right, top of a link."""
    x, y, u, v = (float(value) for value in rect)
    return min(x, u), min(y, v), max(x, u), max(y, v)


def test_every_continuation_drawn_is_a_link_in_the_pdf(sheets, found):
    drawn = [
        t
        for d in sheets
        for t in scene(d.svg).texts
        if "name" in t.at.classes and t.at.said("data-sheet") not in ("", d.name)
    ]
    assert len(found) == len(drawn) > 0


def test_a_continuation_names_the_page_that_its_link_leads_to(found):
    assert all(c.to == WORDS.fullmatch(c.words)[1] for c in found)


def test_the_wire_goes_on_where_its_continuation_says_and_points_back(found):
    ways = Counter((c.wire, c.page, c.to) for c in found)
    back = Counter((c.wire, c.to, c.page) for c in found)
    assert ways == back


def test_a_continuation_leads_to_the_zone_that_the_other_end_is_printed_in(pdf, found):
    """The zones are read from the letters and figures printed in the border."""
    labels, seen = PdfReader(io.BytesIO(pdf)).page_labels, pypdfium2.PdfDocument(pdf)
    for c in found:
        number = labels.index(c.to)
        other = next(o for o in found if (o.wire, o.page, o.to) == (c.wire, c.to, c.page))
        text, zone = seen[number].get_textpage(), WORDS.fullmatch(c.words)[2]
        x, y = middle_of(text, other.words, c.wire)
        across = {s: p for s, p in border(text, seen[number], 1).items() if s.isdigit()}
        down = {s: p for s, p in border(text, seen[number], 0).items() if s.isalpha()}
        assert reaches(across, zone[1:], x), (c, other)
        assert reaches(down, zone[0], y), (c, other)


def reaches(border: dict[str, float], zone: str, place: float) -> bool:
    """Whether a place lies in a zone, whose reference stands at its middle, or on its edge.

    The middle of printed letters lies beside the middle that they are set by, by what the first
    and last letter leave free on their sides.
    """
    first, second = "AB" if zone.isalpha() else "12"
    half = abs(border[second] - border[first]) / 2
    return abs(border[zone] - place) <= half + LEFT_FREE_PT


def middle_of(text, words: str, wire: str) -> tuple[float, float]:
    """Where a continuation is printed, of those with these words the one under the wire's name."""
    search = text.search(words)
    while (spot := search.get_next()) is not None:
        left, foot, right, top = box_of(text, *spot)
        over = text.get_text_bounded(left - 8, top, right + 8, top + 1.6 * (top - foot) + 4)
        if wire in over.split():
            return (left + right) / 2, (foot + top) / 2
    raise AssertionError((words, wire))


def box_of(text, first: int, count: int) -> tuple[float, float, float, float]:
    boxes = [text.get_charbox(first + n) for n in range(count)]
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def border(text, page, axis: int) -> dict[str, float]:
    """Zone references of the left (axis 0) or the upper border and where they stand along it."""
    wide, high = page.get_size()
    edge = 14 * 72 / 25.4 + 1, high - (10.5 + 3.5) * 72 / 25.4 - 1
    band = 5 * 72 / 25.4
    spots = {}
    for n in range(text.count_chars()):
        left, foot, right, top = text.get_charbox(n)
        inside = (
            (edge[0] < left and right < edge[0] + 1.3 * band)
            if axis == 0
            else (top < edge[1] and foot > edge[1] - band)
        )
        if inside:
            spots[text.get_text_range(n, 1)] = (left + right) / 2 if axis else (foot + top) / 2
    return spots


def test_a_sheet_on_its_own_keeps_the_words_that_it_was_drawn_with():
    canvas = Canvas(60, 20)
    canvas.reference(10, 10, "fuel-2", "B3", "sheet 2 B3")
    drawing = canvas.drawing("fuel-1", "Fuel")
    assert with_pages(drawing, lambda *_: None) == drawing.svg
    assert "sheet 2 B3" in drawing.svg


def test_a_page_as_long_as_they_come_stays_in_its_room():
    canvas = Canvas(60, 20)
    box = canvas.reference(30, 10, "fuel-2", "D12", "sheet 2 D12", anchor="middle")
    drawing = canvas.drawing("fuel-1", "Fuel")
    paged = type(drawing)("fuel-1", "Fuel", with_pages(drawing, lambda *_: "88–888"), 60, 20)
    (text,) = letterings(paged)
    assert text.text == "88–888 D12"
    assert Box(box.x - 0.01, box.y, box.w + 0.02, box.h).holds(text.box)


def test_every_title_block_says_the_page_that_it_stands_on(lapwing, sheets, pdf):
    """The sheet's own name, then the page: what is printed is the label of that very page."""
    labels = PdfReader(io.BytesIO(pdf)).page_labels
    pages = [" ".join(text.split()) for text in texts_of(book_of(lapwing))]
    for name in (sheet.name for sheet in sheets):
        (number,) = [n for n, text in enumerate(pages) if f"Drawing number {name} " in text]
        said = re.search(r"Page (\d+–\d+)", pages[number])
        assert said and said[1] == labels[number]


def test_what_is_said_after_a_page_reference_stands_apart_from_it(lapwing):
    text = " ".join(texts_of(book_of(lapwing)))
    assert len(re.findall(r"\d–\d+\. (?=[“A-Z])", text)) > 10
    assert re.findall(r"\d–\d+\.[“A-Z].{20}", text) == []

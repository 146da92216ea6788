"""References put into pages that were laid out once stand where a second layout puts them."""

from __future__ import annotations

import io

import pypdfium2
import pytest

from buildbook.book.editions import WHOLE, chapters_of
from buildbook.book.join import Metadata, join_chapters, labels_of
from buildbook.book.links import SCHEME
from buildbook.book.make import joined, set_chapters
from buildbook.book.page_references import (
    END,
    MIDDLE,
    START,
    Codes,
    NoRoom,
    PageReference,
    codes,
    put_in,
)
from buildbook.book.render import Job, render
from buildbook.book.typeface import face
from buildbook.pipeline import quiet
from tests.book.typeface import TYPEFACE
from tests.once import drawings_of

LESS_PT = 0.01
"""Less than anybody sees: WeasyPrint rounds places to it."""


@pytest.fixture(scope="module")
def set_(two_wire):
    """The jobs of a book and what was set of them."""
    chapters = chapters_of(WHOLE, two_wire, drawings_of(two_wire))
    vehicle = two_wire.vehicle.description.vehicle
    jobs: dict[str, Job] = {}

    def noted(some):
        for job in some:
            jobs[job.name] = job
            yield render(job)

    return jobs, set_chapters(chapters, vehicle, two_wire.vehicle.supply, noted, quiet)


def letters_of(pdf: bytes) -> list[list[tuple[str, tuple[float, ...]]]]:
    """Every letter of every page with its box, in points."""
    return [
        [
            (text.get_text_range(n, 1), text.get_charbox(n, loose=True))
            for n in range(text.count_chars())
        ]
        for text in (page.get_textpage() for page in pypdfium2.PdfDocument(pdf))
    ]


def test_words_and_places_are_those_of_a_full_second_layout(two_wire, set_):
    jobs, once = set_
    assert sum(len(chapter.references) for chapter in once) > 20
    assert [chapter.name for chapter in once if chapter.unplaced] == []
    labels = labels_of(once)
    twice = [render(jobs[chapter.name].numbered(labels)) for chapter in once]
    vehicle = two_wire.vehicle.description.vehicle
    pages = zip(letters_of(joined(once, vehicle)), letters_of(joined(twice, vehicle)), strict=True)
    for one, other in pages:
        assert [letter for letter, _box in one] == [letter for letter, _box in other]
        for (_, box), (_, again) in zip(one, other, strict=True):
            assert box == pytest.approx(again, abs=LESS_PT)


def html(reference: str) -> str:
    return (
        f'{TYPEFACE}<p>before {reference} after <a href="{SCHEME}there">there</a></p>'
        '<p id="there">x</p>'
    )


def test_a_code_that_no_page_shows_as_it_is_has_its_chapter_laid_out_with_the_page():
    """Letters set apart are drawn apart, so that a code is not found among them."""
    apart = '<span style="letter-spacing: 1pt">0–00</span>'
    rendered = render(Job("one", html(apart), {}, (PageReference("0–00", "there"),)))
    assert rendered.unplaced == ("0–00",)
    plain = render(
        Job("one", html(f'<a href="{SCHEME}there">0–00</a>'), {}, (PageReference("0–00", "there"),))
    )
    assert plain.unplaced == ()


def test_codes_of_every_figure_are_found_in_a_table_of_the_book(set_):
    """Figures that a table draws by other glyphs than text does had whole chapters set twice."""
    jobs, _ = set_
    some = ("0–12", "0–34", "0–56", "0–78", "0–90")
    cells = "".join(f"<th>{code}</th><td>{code} <b>{code}</b></td>" for code in some)
    html_ = jobs["use"].html.replace("</body>", f"<table><tr>{cells}</tr></table></body>")
    references = tuple(PageReference(code, "there") for code in some)
    assert render(Job("use", html_, jobs["use"].files, references)).unplaced == ()


def test_a_page_with_more_digits_than_were_kept_is_laid_out_anew():
    reference = PageReference("0–00", "there")
    assert reference.holds("4–7") and reference.holds("4–17")
    assert not reference.holds("4–117")


def test_an_author_who_writes_like_a_code_keeps_what_they_wrote():
    given = Codes({"there": 3}, {}, "between 0–00 and 0–01 V")
    assert given["there"] == "0–02"


def test_codes_run_out_rather_than_repeat():
    every = " ".join(codes(1, 1))
    with pytest.raises(NoRoom):
        Codes({"there": 3}, {}, every, page_digits=1)["there"]


def test_whether_a_name_has_a_place_hands_out_no_code():
    given = Codes({"there": 3}, {}, "")
    assert "there" in given
    assert given.references == ()


@pytest.mark.parametrize(("fixed", "share"), [(START, 0.0), (MIDDLE, 0.5), (END, 1.0)])
def test_a_shorter_page_moves_to_where_its_line_is_held(fixed, share):
    """TJ counts thousandths of the size to the left (ISO 32000-1, 9.4.3)."""
    type_ = face("Regular")
    stream = b"/F 8 Tf\n[<" + type_.hex_of("0–00 B3").encode() + b">] TJ"
    reference = PageReference("0–00", "there", fixed)
    done = put_in(stream, {"F": "Regular"}, {"0–00": reference}, {"there": "4–7"})
    digit = type_.width_of("0") * share
    moved = f"{-digit:.3f}".rstrip("0").rstrip(".").encode() if share else b""
    assert done == b"/F 8 Tf\n[" + moved + b"<" + type_.hex_of("4–7 B3").encode() + b">] TJ"


def test_joining_needs_no_second_look_at_what_it_is_given(set_):
    """The same chapters give the same bytes."""
    _jobs, once = set_
    about = Metadata("a", "b", "D:20260301000000Z")
    first = join_chapters(once, about)
    assert join_chapters(once, about) == first
    assert io.BytesIO(first).read(5) == b"%PDF-"

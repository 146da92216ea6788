"""Books after a revision was issued, read back from the PDF: what changed, and nothing else.

What a change shows on is told by two plain books of the two descriptions at one revision, which
know nothing of issuing: a page shows it where these differ.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

from buildbook.book.drawings import Drawings
from buildbook.book.finished import BAR_MM
from buildbook.book.issuing import revision_of
from buildbook.book.make import joined, make_book, set_book
from buildbook.book.swap import make_swap
from buildbook.issued.model import Issued
from buildbook.pipeline import quiet
from buildbook.result import Result
from tests.book.test_page_references import LESS_PT, letters_of
from tests.conftest import TESTS, result_of
from tests.issued.printed_book import bars, lines_beside, printed

TWO_WIRE = TESTS / "vehicles" / "two-wire"
DATE = "  date: 2026-03-01\n"
AT_B = (DATE, "  revision: B\n  date: 2026-05-01\n")
AT_C = (DATE, "  revision: C\n  date: 2026-06-01\n")
THREE = (
    ("length: 2.4 m", "length: 3.1 m"),
    ("name: Frame ground", "name: Ground on the frame"),
    ("capacity: 20 Ah", "capacity: 25 Ah"),
)
"""A wire's length, a device's name, and the battery."""
A_FOURTH = ("name: Fuse panel", "name: Fuse box")
RANGE = re.compile(r"(\d+)–(\d+)(?: to \d+–(\d+))?(?: at (\w+))?")


def vehicle(folder: Path, *edits: tuple[str, str]) -> Result:
    shutil.copytree(TWO_WIRE, folder)
    path = folder / "vehicle.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return result_of(folder)


def plain_book(result: Result, out: Path) -> bytes:
    return make_book(result, Drawings(result), out, quiet, workers=1).read_bytes()


@dataclass(frozen=True)
class Made:
    """A revision's book, and the revisions with this one issued after it."""

    pdf: bytes
    issued: Issued


def made(result: Result, before: Issued) -> Made:
    book = set_book(result, Drawings(result), before, quiet, workers=1)
    own = revision_of(result, book.chapters, book.effective, before)
    pdf = joined(book.chapters, result.vehicle.description.vehicle, effective=book.effective)
    return Made(pdf, Issued((*before.revisions, own)))


def pages_in(words: str) -> list[str]:
    """'4–1, 4–3 to 4–5' as labels."""
    return [
        f"{chapter}–{page}"
        for chapter, first, last, _ in RANGE.findall(words)
        for page in range(int(first), int(last or first) + 1)
    ]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("loose-leaf")


@pytest.fixture(scope="module")
def at_a(two_wire) -> Made:
    return made(two_wire, Issued())


@pytest.fixture(scope="module")
def changed(folder) -> Result:
    return vehicle(folder / "b", AT_B, *THREE)


@pytest.fixture(scope="module")
def at_b(changed, at_a) -> Made:
    return made(changed, at_a.issued)


@pytest.fixture(scope="module")
def showing(two_wire, folder) -> set[str]:
    """Pages that show the three changes, by two plain books at one revision."""
    one = printed(plain_book(two_wire, folder / "one.pdf"))
    other = printed(plain_book(vehicle(folder / "same", *THREE), folder / "other.pdf"))
    return {label for label in one.keys() | other.keys() if one.get(label) != other.get(label)}


@pytest.fixture(scope="module")
def swap_pages(changed, at_a, folder) -> bytes:
    (a,) = at_a.issued.revisions
    out = folder / "swap.pdf"
    make_swap(changed, Drawings(changed), out, quiet, at_a.issued, a, workers=1)
    return out.read_bytes()


def test_a_book_of_a_vehicle_that_was_never_issued_says_nothing_new(two_wire, folder):
    plain = plain_book(two_wire, folder / "never.pdf")
    out = folder / "none.pdf"
    make_book(two_wire, Drawings(two_wire), out, quiet, workers=1, issued=Issued())
    assert out.read_bytes() == plain
    words = [line for page in printed(plain).values() for line in page.lines]
    assert not [line for line in words if "Record of changes" in line or " at A" in line]


def test_issuing_the_first_revision_alters_no_word_but_that_of_the_tag(two_wire, at_a, folder):
    plain = printed(plain_book(two_wire, folder / "before.pdf"))
    after = printed(at_a.pdf)
    assert [*plain] == [*after]
    words = {n: Counter(" ".join(page.lines).split()) for n, page in plain.items()}
    again = {n: Counter(" ".join(page.lines).split()) for n, page in after.items()}
    (tag,) = [label for label in words if words[label] != again[label]]
    assert any("revision A written on a tag" in line for line in plain[tag].lines)


def test_the_pages_to_swap_are_those_that_show_the_changes_and_the_revision(swap_pages, showing):
    sheet, *labels = printed(swap_pages)
    assert sheet == "i"
    whole = {"0–1", "10–1"}  # the cover, and the list of effective pages
    assert len(showing) > 5
    assert set(labels) == showing | whole


def test_a_binder_with_them_swapped_equals_the_new_book(swap_pages, at_a, at_b):
    sheet = printed(swap_pages)
    rows = [line for line in sheet.pop("i").lines if re.match(r"\d+ (\d+–\d+|none)", line)]
    binder, book = printed(at_a.pdf), printed(at_b.pdf)
    taken, put = [], []
    for row in rows:
        chapter, words = row.split(" ", 1)
        half = re.fullmatch(r"((?:[^ ,]+(?: to [^ ,]+)?, )*[^ ,]+(?: to [^ ,]+)?) (.+)", words)
        assert half and all(label.startswith(f"{chapter}–") for label in pages_in(words))
        taken += pages_in(half[1])
        put += pages_in(half[2])
    assert set(put) == set(sheet)
    for label in taken:
        del binder[label]
    swapped = binder | {label: sheet[label] for label in put}
    assert set(swapped) == set(book)
    for label, page in book.items():
        assert swapped[label] == page, label


def test_pages_that_stay_are_the_same_to_the_byte_and_some_do(swap_pages, at_a, at_b):
    before, now = printed(at_a.pdf), printed(at_b.pdf)
    stay = [label for label in now if label not in printed(swap_pages)]
    assert len(stay) >= 3
    assert all(now[label] == before[label] for label in stay)
    assert {now[label].foot for label in stay} == {"A · 2026-03-01"}


def test_the_list_of_effective_pages_says_what_stands_at_the_foot_of_each(at_b):
    pages = printed(at_b.pdf)
    (last,) = [p for p in pages.values() if "List of effective pages" in p.lines]
    listed = last.lines[last.lines.index("List of effective pages") :]
    said = {}
    for chapter, first, end, revision in RANGE.findall(" ".join(listed)):
        for page in range(int(first), int(end or first) + 1):
            if revision:
                said[f"{chapter}–{page}"] = revision
    assert said == {label: page.foot.split(" · ")[0] for label, page in pages.items()}
    assert set(said.values()) == {"A", "B"}


def test_the_record_of_changes_tells_them_in_words(at_b):
    words = " ".join(line for page in printed(at_b.pdf).values() for line in page.lines)
    assert "B of 2026-05-01, since A" in words
    assert "wire 103 now 3200 mm, was 2500 mm" in words
    assert "device G1 now “Ground on the frame”, was “Frame ground”" in words


def test_a_bar_stands_beside_every_row_that_changed_and_beside_no_other(at_a, at_b):
    """Of the table of circuits, whose rows begin with number and name."""
    before, now = printed(at_a.pdf), printed(at_b.pdf)
    rows = [line for line in now["4–1"].lines if re.match(r"10\d \w", line)]
    new = [row for row in rows if row not in before["4–1"].lines]
    assert len(rows) == 4 and 0 < len(new) < 4
    found = bars(at_b.pdf, BAR_MM)["4–1"]
    beside = " ".join(lines_beside(at_b.pdf, "4–1", top, foot) for _, top, foot in found)
    assert [row for row in rows if row in beside] == new


def pages_of(book, label):
    """Labels of all pages of a page's chapter."""
    return [name for name in book if name.partition("–")[0] == label.partition("–")[0]]


def test_each_bar_stands_beside_something_that_the_page_did_not_say(at_a, at_b):
    """Of a page that there was none of, its chapter."""
    before, now = printed(at_a.pdf), printed(at_b.pdf)
    drawn = bars(at_b.pdf, BAR_MM)
    counted = 0
    for label, page in now.items():
        assert page.foot.startswith("B") or not drawn[label]
        there = [label] if label in before else pages_of(before, label)
        old = [line for name in there for line in before[name].lines]
        for _, top, foot in drawn[label]:
            words = lines_beside(at_b.pdf, label, top, foot)
            assert words and words not in " ".join(old), (label, words)
            counted += 1
    assert counted > 5
    assert not any(bars(at_a.pdf, BAR_MM).values())


def test_bars_and_feet_move_no_letter(changed, at_b, folder):
    """But on the pages that tell of it: the tag's step, and the list of effective pages."""
    plain = letters_of(plain_book(changed, folder / "plain-b.pdf"))
    pages = zip(printed(at_b.pdf).items(), plain, letters_of(at_b.pdf), strict=True)
    same = 0
    for (label, page), one, other in pages:
        if label in ("5–3", "10–1") or page.foot.startswith("A"):
            continue
        assert [letter for letter, _ in one] == [letter for letter, _ in other], label
        for (_, box), (_, again) in zip(one, other, strict=True):
            assert box == pytest.approx(again, abs=max(LESS_PT, 0.1)), label
        same += 1
    assert same > 5


def test_a_third_revision_leaves_the_bars_of_the_second_on_pages_that_it_does_not_touch(
    at_a, at_b, folder
):
    result = vehicle(folder / "c", AT_C, *THREE, A_FOURTH)
    at_c = made(result, at_b.issued)
    before, now = printed(at_b.pdf), printed(at_c.pdf)
    feet = {label: page.foot.split(" · ")[0] for label, page in now.items()}
    assert set(feet.values()) == {"A", "B", "C"}
    kept = [label for label, foot in feet.items() if foot == "B"]
    assert any(bars(at_c.pdf, BAR_MM)[label] for label in kept)
    for label, page in now.items():
        assert (page == before[label]) == (feet[label] != "C")
    words = " ".join(line for page in now.values() for line in page.lines)
    assert "C of 2026-06-01, since B" in words and "B of 2026-05-01, since A" in words
    a, b = at_b.issued.revisions
    for since, binder in ((a, printed(at_a.pdf)), (b, before)):
        out = folder / f"since-{since.revision}.pdf"
        make_swap(result, Drawings(result), out, quiet, at_b.issued, since, workers=1)
        leaves = printed(out.read_bytes())
        del leaves["i"]
        assert {**binder, **leaves} == now


def test_the_book_of_an_issued_revision_is_the_same_after_it(changed, at_b):
    again = made(changed, at_b.issued)
    assert again.pdf == at_b.pdf


def test_pages_altered_after_the_issue_say_so(at_b, folder):
    altered = vehicle(folder / "altered", AT_B, *THREE, A_FOURTH)
    pages = printed(made(altered, at_b.issued).pdf)
    feet = {page.foot.split(" · ")[0] for page in pages.values()}
    assert feet == {"A", "B", "B altered"}


@pytest.mark.skipif(shutil.which("qpdf") is None, reason="qpdf is not installed")
def test_qpdf_finds_nothing_wrong(swap_pages, at_b, tmp_path):
    for name, pdf in (("swap", swap_pages), ("book", at_b.pdf)):
        path = tmp_path / f"{name}.pdf"
        path.write_bytes(pdf)
        said = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=True)
        assert "WARNING" not in said.stdout + said.stderr

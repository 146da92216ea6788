"""A book in inches and gauges, on Letter: no page for the bench has any other unit."""

from __future__ import annotations

import re
from collections.abc import Collection
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest

from buildbook.audit.audit import audit
from buildbook.audit.expected_rows import in_units, of_harness
from buildbook.audit.read_pages import pages_of
from buildbook.audit.read_tables import rows_of
from buildbook.book.editions import EDITIONS, Edition, helper_pack
from buildbook.book.full_size import full_size_pdf, sheets_of
from buildbook.book.make import make_book
from buildbook.pipeline import quiet
from buildbook.result import Result
from tests.book.test_margins import outside
from tests.book_of import texts_of
from tests.conftest import TESTS, in_full, result_of
from tests.in_inches import in_inches
from tests.once import drawings_of

STRAY = re.compile(
    r"(?<![A-Za-z/])(?:mm[2²]?|cm|km)(?![A-Za-z])|metre|millimet|(?<=\d) ?m(?![\w²Ω])|, m\b"
    r"|\bA[345](?= paper| sheet)|\bon A[345]\b"
)
"""Units of length and area that a book in inches has no use for, and paper that it is not on."""
FOR_THE_BENCH = ("whole", "trackside", "order", "ropes")
"""The workings reckon in SI units, as their formulas do, and say so."""
LETTER_PT, HALF_LETTER_PT = (612.0, 792.0), (396.0, 612.0)
"""8.5 by 11 in, and folded once 5.5 by 8.5 (ANSI/ASME Y14.1)."""
EIGHTH_MM = 25.4 / 8


def strays(pdf: Path, wires: Collection[str] = ()) -> list[str]:
    """Every stray unit of a PDF with its page and what stands around it; '321m' may be a wire."""
    return [
        f"page {number}: …{text[max(0, found.start() - 40) : found.end() + 20]}…"
        for number, text in enumerate(texts_of(pdf), 1)
        for found in STRAY.finditer(text)
        if text[: found.end()].split()[-1].lstrip("S(") not in wires
    ]


def made(result: Result, edition: Edition, folder: Path) -> Path:
    target = folder / f"{edition.name or 'whole'}.pdf"
    return make_book(result, drawings_of(result), target, quiet, 1, edition)


@pytest.fixture(scope="module")
def sandpiper(tmp_path_factory) -> Result:
    folder = tmp_path_factory.mktemp("inches")
    return result_of(in_inches(in_full(TESTS / "vehicles" / "motorcycle"), folder))


@pytest.fixture(scope="module")
def books(sandpiper, tmp_path_factory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("books")
    found = {name: made(sandpiper, EDITIONS[name], folder) for name in FOR_THE_BENCH}
    return found | {"helper": made(sandpiper, helper_pack("main"), folder)}


@pytest.mark.parametrize("edition", [*FOR_THE_BENCH, "helper"])
def test_no_page_has_a_unit_that_its_reader_does_not_use(books, edition):
    assert strays(books[edition]) == []


def test_a_stray_unit_would_be_found(tmp_path, motorcycle):
    found = strays(made(motorcycle, EDITIONS["ropes"], tmp_path))
    assert any("mm" in words for words in found)


@pytest.mark.parametrize("edition", [*FOR_THE_BENCH, "helper"])
def test_every_page_is_letter_and_the_pocket_s_half_of_it(books, edition):
    wanted = HALF_LETTER_PT if edition == "trackside" else LETTER_PT
    for page in pypdfium2.PdfDocument(books[edition]):
        assert tuple(sorted(page.get_size())) == pytest.approx(wanted, abs=0.5)


@pytest.mark.parametrize("edition", ["whole", "order", "ropes", "helper"])
def test_no_word_is_outside_its_page(books, edition):
    assert outside(books[edition], "Letter") == []


@pytest.mark.parametrize(("edition", "harness"), [("whole", ""), ("helper", "main")])
def test_the_tables_say_what_was_worked_out(books, sandpiper, edition, harness):
    assert audit(books[edition], sandpiper, edition, harness) == []


def read_mm(words: str) -> float:
    """A length as it is read off the page and found on the tape: '37-5/8'."""
    whole, _, part = words.rpartition("-") if "/" in words else (words, "", "0")
    return float(25.4 * (int(whole or 0) + Fraction(part)))


def test_every_wire_is_cut_as_long_as_it_has_to_be_and_an_eighth_more_at_most(books, sandpiper):
    kinds = tuple(in_units(of_harness(sandpiper, "main"), sandpiper.vehicle.measures))
    rows = [
        row
        for page in pages_of(books["helper"])
        for kind, row in rows_of(page, kinds)
        if kind.name == "cut list"
    ]
    assert len(rows) > 50
    for row in rows:
        wire = sandpiper.harness.wires[row.key]
        more = read_mm(row.cells["Length"].split("≈")[0].strip()) - 1000 * wire.cut_m
        assert -1e-6 <= more < EIGHTH_MM + 1, row.key


def test_a_full_size_sheet_says_inches_and_is_true_to_four_of_them(sandpiper, tmp_path):
    target = tmp_path / "full.pdf"
    sheets = sheets_of(sandpiper, "main", "Letter")
    target.write_bytes(full_size_pdf(sandpiper, [sheets]))
    assert strays(target) == []
    assert "must measure 4 in" in texts_of(target)[1]
    bars = [svg for drawing in sheets.marks for svg in BAR.findall(drawing.svg)]
    assert bars
    for points in bars:
        (x0, _), (x1, _) = (map(float, point.split(",")) for point in points.split())
        assert x1 - x0 == pytest.approx(4 * 25.4)


BAR = re.compile(r'<polyline class="bar"[^>]*points="([^"]*)"')

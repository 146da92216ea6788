"""Low sheets share a page that lies across."""

from __future__ import annotations

from buildbook.book.sheet_pages import BELOW_MM, on_pages
from buildbook.drawing.shared.model import SHEET_MM, Drawing


def _sheet(name: str, high_mm: float, wide_mm: float = SHEET_MM[0]) -> Drawing:
    return Drawing(name, name, "", wide_mm, high_mm)


def _names(*sheets: Drawing) -> list[list[str]]:
    return [[sheet.name for sheet in page] for page in on_pages(sheets)]


def test_what_goes_on_a_page_with_its_gap_shares_it():
    half = (SHEET_MM[1] - BELOW_MM) / 2
    assert _names(_sheet("a", half), _sheet("b", half)) == [["a", "b"]]
    assert _names(_sheet("a", half), _sheet("b", half + 0.1)) == [["a"], ["b"]]


def test_sheets_stay_in_order():
    low, full = _sheet("low", 40), _sheet("full", SHEET_MM[1])
    assert _names(low, full, low) == [["low"], ["full"], ["low"]]


def test_a_larger_sheet_has_a_page_of_its_own():
    assert _names(_sheet("low", 40), _sheet("wide", 40, SHEET_MM[0] * 2)) == [["low"], ["wide"]]

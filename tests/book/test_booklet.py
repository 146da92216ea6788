"""Trackside pages folded into a booklet: every page once, in the order of reading."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader, PdfWriter

from buildbook.book.booklet import booklet, saddle_order


def read_through(sides):
    """Pages in the order in which somebody turns them, of sheets folded into one another."""
    sheets = [sides[at : at + 2] for at in range(0, len(sides), 2)]
    fronts = [(front[1], back[0]) for front, back in sheets]
    backs = [(back[1], front[0]) for front, back in reversed(sheets)]
    return [page for pair in (*fronts, *backs) for page in pair]


@pytest.mark.parametrize("pages", [1, 4, 15, 16])
def test_folded_sheets_read_from_the_first_page_to_the_last(pages):
    told = read_through(saddle_order(pages))
    assert len(told) % 4 == 0 and len(told) - pages < 4
    assert told[:pages] == list(range(pages))
    assert set(told[pages:]) <= {None}


def test_a_sheet_is_twice_as_wide_and_holds_two_pages():
    written, out = PdfWriter(), io.BytesIO()
    for _ in range(8):
        written.add_blank_page(width=419.53, height=595.28)
    written.write(out)
    sheets = PdfReader(io.BytesIO(booklet(out.getvalue()))).pages
    assert len(sheets) == 4
    assert float(sheets[0].mediabox.width) == pytest.approx(2 * 419.53)
    assert float(sheets[0].mediabox.height) == pytest.approx(595.28)

"""The example's budget of pages. Run by name; prints the pages of each chapter."""

from __future__ import annotations

from collections import Counter

import pytest

from buildbook.book.drawings import Drawings
from buildbook.book.editions import EDITIONS
from buildbook.book.make import make_book
from buildbook.pipeline import quiet
from tests.book_of import book_of
from tests.page_fill import ends, fills, thin

MOST = 130
"""Pages of the whole book."""
MOST_ORDER = 12
MOST_THIN_ENDS = 10
"""Chapters whose last page is under half full."""


@pytest.fixture(scope="module")
def pages(lapwing):
    found = fills(book_of(lapwing))
    print(f"\n{len(found)} pages:", dict(Counter(page.chapter for page in found)))
    print("under half full:", thin(found), [p.label for p in ends(found) if p.share < 0.5])
    return found


def test_the_whole_book_keeps_its_budget(pages):
    assert len(pages) <= MOST


def test_no_page_is_blank(pages):
    assert [page.label for page in pages if page.share == 0.0] == []


def test_no_page_within_a_chapter_is_half_empty_and_few_end_one_so(pages):
    assert thin(pages) == []
    assert len([page for page in ends(pages) if page.share < 0.5]) <= MOST_THIN_ENDS


def test_the_order_pack_keeps_its_budget(lapwing, tmp_path):
    drawings, target = Drawings(lapwing), tmp_path / "order.pdf"
    made = make_book(lapwing, drawings, target, quiet, edition=EDITIONS["order"])
    assert len(fills(made)) <= MOST_ORDER

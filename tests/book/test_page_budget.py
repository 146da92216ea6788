"""A budget of pages for quick vehicles: nobody reads what is long, and paper is carried.

The example's stands in tests/benchmarks/test_page_budget.py.
"""

from __future__ import annotations

import pytest

from tests.book_of import book_of
from tests.page_fill import PageFill, fills, thin

MOST = {"two_wire": 17, "motorcycle": 29}
"""Pages of the whole book."""


@pytest.mark.parametrize("vehicle", MOST)
def test_a_book_keeps_its_budget(vehicle, request):
    assert len(fills(book_of(request.getfixturevalue(vehicle)))) <= MOST[vehicle]


@pytest.mark.parametrize("vehicle", MOST)
def test_no_page_is_blank_and_none_within_a_chapter_is_half_empty(vehicle, request):
    pages = fills(book_of(request.getfixturevalue(vehicle)))
    assert [page.label for page in pages if page.share == 0.0] == []
    assert thin(pages) == []


def test_a_half_empty_page_within_a_chapter_is_found():
    """The judge itself."""
    full, half = PageFill("4", "4–1", False, 1.0), PageFill("4", "4–2", False, 0.4)
    sheet = PageFill("4", "4–3", True, 1.0)
    assert thin([full, half, sheet]) == []
    assert thin([half, full, sheet]) == ["4–2"]

"""No word outside a page's margins, on any page of the books of thirty made-up vehicles."""

from __future__ import annotations

import pytest

from tests.book.test_margins import of_made_up
from tests.drawing.made_up_shapes import SHAPES


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_no_word_of_thirty_books_is_outside_its_page(shape, tmp_path):
    assert of_made_up(shape, tmp_path) == []

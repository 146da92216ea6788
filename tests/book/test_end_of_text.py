"""A chapter that ends just over a page's edge is laid out again, closer."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from buildbook.book.end_of_text import END, HEAD_MM, MM_PER_PX, laid_out


def _pages(count: int, share: float) -> SimpleNamespace:
    """Pages of A4, the text of which ends on the last after such a share of it."""
    width, height = 210 / MM_PER_PX, 297 / MM_PER_PX
    end = (HEAD_MM + share * 262) / MM_PER_PX
    pages = [SimpleNamespace(width=width, height=height, anchors={}) for _ in range(count)]
    pages[-1].anchors[END] = (0.0, end)
    return SimpleNamespace(pages=pages)


@pytest.mark.parametrize("count", [2, 5, 13])
def test_a_few_lines_on_the_last_page_go_back_to_those_before_it(count):
    def lay_out(html: str) -> SimpleNamespace:
        return _pages(count - 1, 0.9) if "closer" in html else _pages(count, 0.07)

    assert len(laid_out(lay_out, "<body></body>").pages) == count - 1


def test_a_page_that_has_more_is_laid_out_once():
    tried: list[str] = []

    def lay_out(html: str) -> SimpleNamespace:
        tried.append(html)
        return _pages(4, 0.5)

    assert len(laid_out(lay_out, "<body></body>").pages) == 4
    assert len(tried) == 1

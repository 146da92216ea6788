"""Finds words that run out of their table's cell, in pages as they are laid out."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from buildbook.book import render
from buildbook.book.make import make_book
from buildbook.pipeline import quiet
from buildbook.result import Result
from tests.once import drawings_of

Beyond = tuple[str, int, str]
"""Title of a chapter, its page, and the words of a line that is wider than its cell."""


def beyond_cells(result: Result, target: Path) -> list[Beyond]:
    """Every such line in the whole book."""
    return beyond_in(lambda: make_book(result, drawings_of(result), target, quiet, workers=1))


def beyond_in(set_pages: Callable[[], object]) -> list[Beyond]:
    """Every such line in the pages that are set meanwhile, in this process."""
    found: list[Beyond] = []
    laid_out = render.laid_out

    def watched(lay_out, html):
        document = laid_out(lay_out, html)
        title = re.findall("<title>(.*?)</title>", html)[0]
        for number, page in enumerate(document.pages, start=1):
            for words in _beyond(page._page_box):
                found.append((title, number, words))
        return document

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(render, "laid_out", watched)
        set_pages()
    return found


def _beyond(page) -> Iterator[str]:
    for cell in page.descendants():
        if type(cell).__name__ == "TableCellBox":
            edge = cell.position_x + cell.border_width()
            yield from (_words(line) for line in _lines(cell) if _right(line) > edge)


def _lines(box) -> Iterator:
    for child in getattr(box, "children", ()):
        if type(child).__name__ == "LineBox":
            yield child
        else:
            yield from _lines(child)


def _right(box) -> float:
    if hasattr(box, "text"):
        return box.position_x + box.width if box.text.strip() else 0.0
    return max(map(_right, getattr(box, "children", ())), default=0.0)


def _words(box) -> str:
    return getattr(box, "text", "") or "".join(map(_words, getattr(box, "children", ())))

"""Makes the book of a Result once and reads its text back."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import mkdtemp

import pypdfium2

from buildbook.book.editions import EDITIONS
from buildbook.book.make import make_book
from buildbook.pipeline import quiet
from buildbook.result import Result
from tests.once import drawings_of, once

BROKEN = "\ufffe"
"""What the reader of text gives for a hyphen at the end of a line."""


@once
def book_of(result: Result) -> Path:
    """The PDF of the vehicle, its chapters set in worker processes."""
    target = Path(mkdtemp()) / "book.pdf"
    return make_book(result, drawings_of(result), target, quiet, workers=2)


@once
def workings_of(result: Result) -> Path:
    """The PDF of the vehicle's workings."""
    target = Path(mkdtemp()) / "workings.pdf"
    return make_book(
        result, drawings_of(result), target, quiet, workers=2, edition=EDITIONS["workings"]
    )


@once
def order_pack_of(result: Result) -> Path:
    """The PDF of the vehicle's order pack."""
    target = Path(mkdtemp()) / "order.pdf"
    return make_book(
        result, drawings_of(result), target, quiet, workers=2, edition=EDITIONS["order"]
    )


def texts_of(pdf: Path) -> tuple[str, ...]:
    """The text of every page, line by line."""
    document = pypdfium2.PdfDocument(pdf)
    read = [page.get_textpage().get_text_range() for page in document]
    return tuple("\n".join(text.replace(BROKEN, "-\n").splitlines()) for text in read)


def words_of(result: Result) -> frozenset[str]:
    """Every run of non-space text in the PDF, and the same without punctuation around it."""
    words: set[str] = set()
    for text in texts_of(book_of(result)):
        for word in text.split():
            words.add(word)
            words.update(re.split(r"[,;:()\[\]→»–·|]+", word))
            words.add(word.strip(".,;:()[]→»–·|"))
    return frozenset(words)

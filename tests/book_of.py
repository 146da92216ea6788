"""Makes the book of a Result once and reads its text back."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from pypdf import PdfReader

from buildbook.book.drawings import draw_all
from buildbook.book.make import make_book
from buildbook.pipeline import quiet, work_out


@cache
def book_of(folder: Path) -> Path:
    """The PDF of the vehicle in `folder`, made once a process."""
    result, problems = work_out(folder)
    assert result is not None, problems
    target = Path(mkdtemp()) / "book.pdf"
    return make_book(result, draw_all(result), target, quiet)


@cache
def words_of(folder: Path) -> frozenset[str]:
    """Every run of non-space text in the PDF, and the same without punctuation around it."""
    words: set[str] = set()
    for page in PdfReader(book_of(folder)).pages:
        for word in page.extract_text().split():
            words.add(word)
            words.update(re.split(r"[,;:()\[\]→–·|]+", word))
            words.add(word.strip(".,;:()[]→–·|"))
    return frozenset(words)

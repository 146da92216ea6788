"""List of effective pages."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.result import Result


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    title, template = "List of effective pages", "effective_pages.html"
    return (Chapter("pages", title, template, {}, lists_pages=True),)

"""The words of a chapter before it is set, cell by cell."""

from __future__ import annotations

import re

from buildbook.book.chapter import Chapter
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from buildbook.result import Result


def words_of(result: Result, chapter: Chapter) -> str:
    """The words of a chapter, spaces single, cells parted by a bar."""
    vehicle = result.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), result.vehicle.supply)
    text = re.sub(r"<style>.*?</style>", "", text, flags=re.S)
    text = re.sub(r"</t[dh]>", " | ", text)
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())

"""Puts pages into what a sheet says of other sheets: only a book knows on which page each is."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape, unescape

from buildbook.drawing.shared.canvas import paged_words
from buildbook.drawing.shared.model import Drawing

TEXT = re.compile(r'(<text [^>]*?data-sheet="([^"]+)"[^>]*>)[^<]*(</text>)')
ZONE = re.compile(r'data-zone="([^"]*)"')


def with_pages(drawing: Drawing, page_of: Callable[[str], str | None]) -> str:
    """The drawing's SVG with the page of every sheet that it names, where the book has one."""

    def put(found: re.Match[str]) -> str:
        page = page_of(unescape(found[2]))
        if page is None:
            return found[0]
        zone = ZONE.search(found[1])
        words = paged_words(page, unescape(zone[1]) if zone else "")
        return found[1] + escape(words, quote=False) + found[3]

    return TEXT.sub(put, drawing.svg) if drawing.references else drawing.svg

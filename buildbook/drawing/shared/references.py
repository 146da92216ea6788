"""Puts pages into what a sheet says of other sheets: only a book knows on which page each is."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape, unescape

from buildbook.drawing.shared.canvas import paged_words
from buildbook.drawing.shared.model import Drawing

TEXT = re.compile(r'(<text [^>]*?data-sheet="([^"]+)"[^>]*>)[^<]*(</text>)')
HELD = re.compile(r'text-anchor="(\w+)"')
ZONE = re.compile(r'data-zone="([^"]*)"')


def with_pages(drawing: Drawing, page_of: Callable[[str, str], str | None]) -> str:
    """The drawing's SVG with the page of every sheet that it names, where the book has one.

    `page_of` is given the sheet and where in its line the page is held: start, middle or end.
    """

    def put(found: re.Match[str]) -> str:
        held = HELD.search(found[1])
        page = page_of(unescape(found[2]), held[1] if held else "start")
        if page is None:
            return found[0]
        zone = ZONE.search(found[1])
        words = paged_words(page, unescape(zone[1]) if zone else "")
        return found[1] + escape(words, quote=False) + found[3]

    return TEXT.sub(put, drawing.svg) if drawing.references else drawing.svg

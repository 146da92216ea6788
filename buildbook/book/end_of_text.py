"""A chapter whose text ends just over a page's edge is set a little closer, to end before it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

END = "end-of-text"
"""The anchor where a chapter's upright text ends; sheets that lie across come after it."""
HEAD_MM, FOOT_MM = 18.0, 17.0
"""From a page's edges to its text."""
MM_PER_PX = 25.4 / 96
GAIN = 0.08
"""Of a page of text, what one page of tables saves where it is set closer, about."""
LIST, LIST_GAIN = '<div class="contents">', 0.6
"""A list of contents is set in two columns: its half is saved, of a page that it has most of."""
MOST_PAGES = 13
"""Longer chapters are laid out once: a page less is not worth as much again of their time."""
AFTER = re.compile('<div class="[^"]*\\bsheet\\b[^"]*"|</body>')
BODY, CLOSER = "<body>", '<body class="closer">'


def laid_out(lay_out: Callable[[str], Any], html: str) -> Any:
    """The laid-out document of a chapter: closer, where it has a page less than it would have.

    `lay_out` gives a document with `pages`, each with width, height and anchors in pixels.
    """
    html = AFTER.sub(lambda found: f'<div id="{END}"></div>{found[0]}', html, count=1)
    loose = lay_out(html)
    if not _ends_just_over(loose.pages, LIST_GAIN if LIST in html else GAIN):
        return loose
    close = lay_out(html.replace(BODY, CLOSER, 1))
    return close if len(close.pages) < len(loose.pages) else loose


def _ends_just_over(pages: Sequence[Any], gain: float) -> bool:
    """Whether what stands on the last page of the text may find room on those before it.

    `gain` is what each of these saves, of a page.
    """
    last = next((n for n, page in enumerate(pages) if END in page.anchors), 0)
    if not 0 < last <= MOST_PAGES:
        return False
    page = pages[last]
    room = page.height * MM_PER_PX - HEAD_MM - FOOT_MM
    share = (page.anchors[END][1] * MM_PER_PX - HEAD_MM) / room
    return bool(page.width < page.height and share <= gain * last)

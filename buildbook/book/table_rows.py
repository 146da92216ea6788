"""The rows of a chapter's tables, known again from book to book by what they say."""

from __future__ import annotations

import hashlib
import re

from buildbook.issued.model import PAGE_LETTERS, ROW_LETTERS

BODY = re.compile(r"<tbody>.*?</tbody>", re.DOTALL)
ROW = re.compile(r"<tr\b([^>]*)>(.*?)</tr>", re.DOTALL)
ID = re.compile(r'\bid="([^"]*)"')
PAGE = re.compile(r'<a class="page.*?</a>', re.DOTALL)
"""A page in which more is said: that another chapter grew alters nothing that a row says."""
PLACE = re.compile(r"[\w./-]+\.(?:yaml|csv|md):\d+:\d+")
"""Where a finding stands in the description: a line more above it alters nothing that it says."""
TAG = re.compile(r"<[^>]*>")
LETTERS = str.maketrans("0123456789abcdef", "abcdefghijklmnop")


def letters_of(content: bytes, count: int = PAGE_LETTERS) -> str:
    """A hash in letters a to p, four bits in each."""
    return hashlib.sha256(content).hexdigest()[:count].translate(LETTERS)


def with_rows_named(chapter: str, html: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """HTML in which every row of a table's body is an anchor, and the anchors with their hashes.

    A row that is alike in its words, but for the pages and the lines of the description that it
    refers to, has the same hash.
    """
    found: list[tuple[str, str]] = []

    def named(row: re.Match[str]) -> str:
        said = PLACE.sub("", TAG.sub("|", PAGE.sub("", row[2])))
        hash_ = letters_of("".join(said.split()).encode(), ROW_LETTERS)
        given = ID.search(row[1])
        anchor = given[1] if given else f"row-{chapter}-{len(found)}"
        found.append((anchor, hash_))
        return row[0] if given else f'<tr{row[1]} id="{anchor}">{row[2]}</tr>'

    html = BODY.sub(lambda body: ROW.sub(named, body[0]), html)
    return html, tuple(found)

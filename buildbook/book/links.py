"""The links of rendered chapters, and those of them that lead nowhere."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from html import unescape
from html.parser import HTMLParser

SCHEME = "book:"
"""What the address of a link within the book begins with; the name of an anchor follows."""
ADDRESS = re.compile(rf"{SCHEME}([^\"'\s>]*)")
"""All that may be such an address: a chapter in which each is an anchor needs no closer reading."""


@dataclass(frozen=True)
class Link:
    """A link as written: the chapter that it stands in, its text and the anchor it leads to."""

    chapter: str
    text: str
    target: str


class _Reader(HTMLParser):
    """Gathers the links within the book; no link stands inside another."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self._target = ""
        self._text: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        address = dict(attributes).get("href") or ""
        if tag == "a" and address.startswith(SCHEME):
            self._target, self._text = address.removeprefix(SCHEME), []

    def handle_data(self, data: str) -> None:
        if self._target:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "a" and self._target:
            self.found.append(("".join(self._text).strip(), self._target))
            self._target = ""


def links_in(chapter: str, html: str) -> tuple[Link, ...]:
    """Every link within the book that a chapter's HTML holds, in order."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return tuple(Link(chapter, text, target) for text, target in reader.found)


def broken_links(html_of: Mapping[str, str], anchors: Collection[str]) -> tuple[Link, ...]:
    """The links of some chapters, by name, whose anchor is not among those that were set."""
    return tuple(
        link
        for name, html in html_of.items()
        if {unescape(target) for target in ADDRESS.findall(html)} - {*anchors}
        for link in links_in(name, html)
        if link.target not in anchors
    )

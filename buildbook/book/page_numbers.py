"""Page numbers, chapter by chapter: what each page is called, and where each anchor stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from buildbook.book.chapter import Chapter
from buildbook.book.page_references import Codes, width_em
from buildbook.book.render import Rendered
from buildbook.book.stamps import StampCodes
from buildbook.words.say import mark, say

UNKNOWN_PAGE = "0–0"
Run = tuple[int, int, str]
"""First and last of some pages of a chapter, and their revision."""


@dataclass(frozen=True)
class PageMap:
    """What is known of the pages: anchor -> label or what keeps its room, chapter -> pages."""

    labels: Mapping[str, str] = field(default_factory=dict)
    counts: Mapping[int, int] = field(default_factory=dict)
    absent: frozenset[str] = frozenset()
    """Kinds of names that the edition has no place for: they are printed without a link."""
    stamp: StampCodes | None = None
    """What stands in the place of revisions, where any was issued."""
    effective: Mapping[int, tuple[Run, ...]] = field(default_factory=dict)
    """Chapter -> its pages by the revision that they were last changed in; none where all are of
    the vehicle's."""

    def page(self, name: str) -> str:
        return self.labels.get(name, UNKNOWN_PAGE)

    def room_em(self, name: str) -> float | None:
        """The width that `page` keeps free, where it gives a code that a page is put in for."""
        if not isinstance(self.labels, Codes) or self.labels.is_known(name):
            return None
        return width_em(self.page(name))


def page_label(chapter: int, page: int) -> str:
    """'4–3': the third page of chapter 4."""
    return f"{chapter}–{page}"


def page_run(chapter: int, first: int, last: int, revision: str = "") -> str:
    """Some pages of a chapter, and their revision where one is told: '4–1 to 4–3 at C'."""
    ends = page_label(chapter, first), page_label(chapter, last)
    if first == last:
        return say("{page} at {revision}", page=ends[0], revision=revision) if revision else ends[0]
    if revision:
        said = mark("{first} to {last} at {revision}")
        return say(said, first=ends[0], last=ends[1], revision=revision)
    return say("{low} to {high}", low=ends[0], high=ends[1])


def page_counts(chapters: Iterable[Chapter], done: Mapping[str, Rendered]) -> dict[int, int]:
    """Chapter number -> pages, of all chapters set so far."""
    each = ((place, done.get(chapter.name)) for place, chapter in enumerate(chapters))
    return {place: rendered.pages for place, rendered in each if rendered is not None}


def first_pages(chapters: Iterable[Chapter]) -> dict[str, str]:
    """Anchor of each chapter -> its first page, which is known before anything is set."""
    return {chapter.anchor: page_label(place, 1) for place, chapter in enumerate(chapters)}

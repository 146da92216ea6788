"""Page numbers, chapter by chapter: what each page is called, and where each anchor stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from buildbook.book.chapter import Chapter
from buildbook.book.render import Rendered

UNKNOWN_PAGE = "0–0"


@dataclass(frozen=True)
class PageMap:
    """What is known of the pages so far: anchor -> label, chapter number -> pages."""

    labels: Mapping[str, str] = field(default_factory=dict)
    counts: Mapping[int, int] = field(default_factory=dict)
    absent: frozenset[str] = frozenset()
    """Kinds of names that the edition has no place for: they are printed without a link."""

    def page(self, name: str) -> str:
        return self.labels.get(name, UNKNOWN_PAGE)


def page_label(chapter: int, page: int) -> str:
    """'4–3': the third page of chapter 4."""
    return f"{chapter}–{page}"


def page_map(
    chapters: Iterable[Chapter],
    done: Mapping[str, Rendered],
    absent: frozenset[str] = frozenset(),
) -> PageMap:
    """Labels of all anchors and page counts of all chapters rendered so far."""
    labels: dict[str, str] = {}
    counts: dict[int, int] = {}
    for place, chapter in enumerate(chapters):
        labels[chapter.anchor] = page_label(place, 1)
        if (rendered := done.get(chapter.name)) is None:
            continue
        counts[place] = rendered.pages
        for name, (page, _x, _y) in rendered.anchors.items():
            labels.setdefault(name, page_label(place, page + 1))
    return PageMap(labels, counts, absent)

"""How full the pages of a book are: how far down the last word of each stands in the PDF."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from pypdf import PdfReader

HEAD_MM, FOOT_MM = 18.0, 15.0
"""Heading and foot of a page stand nearer to its edges."""
MM = 25.4 / 72


@dataclass(frozen=True)
class PageFill:
    """A page of the book."""

    chapter: str
    label: str
    turned: bool
    """It lies across."""
    share: float
    """From the first line that a page may have to the last, where its last word stands."""


def fills(pdf: Path) -> list[PageFill]:
    """Every page in order."""
    labels = PdfReader(pdf).page_labels
    found = []
    for label, page in zip(labels, pypdfium2.PdfDocument(pdf), strict=True):
        width, height = page.get_size()
        text = page.get_textpage()
        feet = (text.get_rect(n)[1] * MM for n in range(text.count_rects()))
        lowest = min((foot for foot in feet if foot > FOOT_MM), default=height * MM)
        room = height * MM - HEAD_MM - FOOT_MM
        share = min(1.0, max(0.0, (height * MM - HEAD_MM - lowest) / room))
        found.append(PageFill(label.partition("–")[0], label, width > height, share))
    return found


def ends(pages: list[PageFill]) -> list[PageFill]:
    """The last page of each chapter's text: sheets that lie across follow it."""
    last: dict[str, PageFill] = {}
    for page in pages:
        if not page.turned:
            last[page.chapter] = page
    return list(last.values())


def thin(pages: list[PageFill]) -> list[str]:
    """Upright pages under half full that end no chapter's text."""
    closing = ends(pages)
    return [p.label for p in pages if not p.turned and p not in closing and p.share < 0.5]

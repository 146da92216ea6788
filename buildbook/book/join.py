"""Rendered chapters to one PDF: links between chapters, bookmarks, page labels, metadata."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass

from pypdf import PdfReader, PdfWriter
from pypdf.constants import PageLabelStyle
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    Fit,
    FloatObject,
    IndirectObject,
    NameObject,
    NullObject,
)

from buildbook.book.links import SCHEME
from buildbook.book.render import Rendered


@dataclass(frozen=True)
class Metadata:
    title: str
    subject: str
    date: str
    """PDF date: D:20260301000000Z."""


def join_chapters(chapters: Sequence[Rendered], metadata: Metadata) -> bytes:
    """The PDF of the chapters in order, numbered from 0 for the front matter.

    Every link within the book leads to an anchor of these chapters.
    """
    writer = PdfWriter()
    firsts: list[int] = []
    for chapter in chapters:
        firsts.append(len(writer.pages))
        writer.append(PdfReader(io.BytesIO(chapter.pdf)), import_outline=False)
    _label(writer, chapters, firsts)
    _bookmark(writer, chapters, firsts)
    _link(writer, _places(chapters, firsts))
    stamp = {"/CreationDate": metadata.date, "/ModDate": metadata.date}
    writer.metadata = {
        "/Title": metadata.title,
        "/Subject": metadata.subject,
        "/Creator": "buildbook",
        "/Producer": "buildbook",
        **stamp,
    }
    writer.page_mode = "/UseOutlines"
    digest = hashlib.sha256(b"".join(chapter.pdf for chapter in chapters)).digest()[:16]
    writer._ID = ArrayObject([ByteStringObject(digest), ByteStringObject(digest)])
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _label(writer: PdfWriter, chapters: Sequence[Rendered], firsts: Sequence[int]) -> None:
    for number, (chapter, first) in enumerate(zip(chapters, firsts, strict=True)):
        last = first + chapter.pages - 1
        writer.set_page_label(
            first, last, style=PageLabelStyle.DECIMAL, prefix=f"{number}–", start=1
        )


def _bookmark(writer: PdfWriter, chapters: Sequence[Rendered], firsts: Sequence[int]) -> None:
    for chapter, first in zip(chapters, firsts, strict=True):
        parents: dict[int, IndirectObject] = {}
        for mark in chapter.bookmarks:
            above = [level for level in parents if level < mark.level]
            parent = parents[max(above)] if above else None
            fit = Fit.xyz(left=0, top=chapter.heights_pt[mark.page] - mark.y_pt, zoom=0)
            item = writer.add_outline_item(
                title=mark.label, page_number=first + mark.page, parent=parent, fit=fit
            )
            parents = {level: item_ for level, item_ in parents.items() if level < mark.level}
            parents[mark.level] = item


def _places(
    chapters: Sequence[Rendered], firsts: Sequence[int]
) -> dict[str, tuple[int, float, float]]:
    """Anchor -> page of the book, x and y in points from the page's foot."""
    places: dict[str, tuple[int, float, float]] = {}
    for chapter, first in zip(chapters, firsts, strict=True):
        for name, (page, x, y) in chapter.anchors.items():
            places.setdefault(name, (first + page, x, chapter.heights_pt[page] - y))
    return places


def _link(writer: PdfWriter, places: dict[str, tuple[int, float, float]]) -> None:
    """Turn book:ANCHOR links into destinations in the PDF."""
    references = [page.indirect_reference for page in writer.pages]
    for page in writer.pages:
        for annotation in page.get("/Annots") or ():
            link = annotation.get_object()
            uri = str(link["/A"].get_object().get("/URI", "")) if "/A" in link else ""
            if not uri.startswith(SCHEME):
                continue
            number, x, y = places[uri.removeprefix(SCHEME)]
            del link["/A"]
            link[NameObject("/Dest")] = ArrayObject(
                [
                    references[number],
                    NameObject("/XYZ"),
                    FloatObject(round(x, 2)),
                    FloatObject(round(y + 4, 2)),
                    NullObject(),
                ]
            )

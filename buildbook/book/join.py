"""Rendered chapters to one PDF: references put in, links, bookmarks, page labels, metadata."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pydyf

from buildbook.book.page_numbers import page_label
from buildbook.book.page_references import put_in
from buildbook.book.pdf_objects import KeptObject, closed, packed
from buildbook.book.render import Bookmark, Rendered
from buildbook.book.shared_fonts import add_font, merged
from buildbook.book.typeface import face

ABOVE_PT = 4
"""A link shows so much of what stands above its target."""


@dataclass(frozen=True)
class Metadata:
    title: str
    subject: str
    date: str
    """PDF date: D:20260301000000Z."""


class _Written(pydyf.Object):
    """An object whose text is ready."""

    def __init__(self, text: bytes) -> None:
        super().__init__()
        self._text = text

    @property
    def data(self) -> bytes:
        return self._text


class _WrittenStream(pydyf.Stream):
    """A stream whose text and deflated content are ready."""

    def __init__(self, kept: KeptObject, text: bytes) -> None:
        super().__init__()
        self._content = kept.stream or b""
        self._text = text[:-2] + b"/Length %d>>" % len(self._content)

    @property
    def data(self) -> bytes:
        return b"\n".join((self._text, b"stream", self._content, b"endstream"))


def join_chapters(chapters: Sequence[Rendered], metadata: Metadata) -> bytes:
    """The PDF of the chapters in order, numbered from 0 for the front matter.

    Every link within the book leads to an anchor of these chapters.
    """
    pdf = pydyf.PDF()
    used = merged(chapter.glyphs for chapter in chapters)
    fonts = {name: add_font(pdf, name, glyphs | _figures(name)) for name, glyphs in used.items()}
    firsts = _numbers(pdf, chapters)
    labels = labels_of(chapters)
    places = _places(chapters, firsts)
    for chapter, first in zip(chapters, firsts, strict=True):
        _add(pdf, chapter, first, fonts, places, labels)
    _label(pdf, chapters)
    _bookmark(pdf, chapters, firsts)
    pdf.catalog["PageMode"] = "/UseOutlines"
    pdf.catalog["Lang"] = pydyf.String("en")
    stamp = pydyf.String(metadata.date)
    pdf.info.update(
        {
            "Title": pydyf.String(metadata.title),
            "Subject": pydyf.String(metadata.subject),
            "Creator": pydyf.String("buildbook"),
            "Producer": pydyf.String("buildbook"),
            "CreationDate": stamp,
            "ModDate": stamp,
        }
    )
    out = io.BytesIO()
    pdf.write(out, version=b"1.7", identifier=True, compress=True)
    return out.getvalue()


def alone(chapter: Rendered) -> bytes:
    """A chapter as a PDF by itself: its links lead only where it leads itself."""
    return join_chapters((chapter,), Metadata(chapter.name, "", "D:20000101000000Z"))


def labels_of(chapters: Sequence[Rendered]) -> dict[str, str]:
    """Anchor -> chapter–page."""
    labels: dict[str, str] = {}
    for number, chapter in enumerate(chapters):
        for name, (page, _x, _y) in chapter.anchors.items():
            labels.setdefault(name, page_label(number, page + 1))
    return labels


def _figures(name: str) -> dict[int, str]:
    """What labels of pages consist of: glyph -> text."""
    glyphs = face(name).glyphs
    return {glyphs[ord(letter)]: letter for letter in "0123456789–"}


def _numbers(pdf: pydyf.PDF, chapters: Sequence[Rendered]) -> list[int]:
    """The number that each chapter's first object will have."""
    firsts = [len(pdf.objects)]
    for chapter in chapters:
        firsts.append(firsts[-1] + len(chapter.objects))
    return firsts[:-1]


def _places(chapters: Sequence[Rendered], firsts: Sequence[int]) -> dict[str, bytes]:
    """Anchor -> the destination in the PDF that it is."""
    places: dict[str, bytes] = {}
    for chapter, first in zip(chapters, firsts, strict=True):
        for name, (page, x, y) in chapter.anchors.items():
            places.setdefault(name, _destination(chapter, first, page, x, y - ABOVE_PT))
    return places


def _destination(chapter: Rendered, first: int, page: int, x: float, y: float) -> bytes:
    """A place on a page, in points from its upper left corner, as PDF counts from its foot."""
    top = chapter.heights_pt[page] - y
    return b"[%d 0 R /XYZ %.2f %.2f null]" % (first + chapter.page_objects[page], x, top)


def _add(
    pdf: pydyf.PDF,
    chapter: Rendered,
    first: int,
    fonts: Mapping[str, bytes],
    places: Mapping[str, bytes],
    labels: Mapping[str, str],
) -> None:
    """Put a chapter's objects into the PDF, with nothing left open."""

    def filled(kind: bytes, rest: bytes) -> bytes:
        if kind == b"r":
            return b"%d 0 R" % (first + int(rest))
        if kind == b"f":
            return fonts[rest.decode()]
        return places.get(rest.decode(), b"null") if kind == b"d" else pdf.pages.reference

    by_code = {reference.code: reference for reference in chapter.references}
    for kept in chapter.objects:
        if kept.stream is None:
            pdf.add_object(_Written(closed(kept.text, filled)))
            continue
        if not kept.packed:
            stream = put_in(kept.stream, chapter.faces, by_code, labels)
            kept = packed(KeptObject(kept.text, stream))
        pdf.add_object(_WrittenStream(kept, closed(kept.text, filled)))
    for number in chapter.page_objects:
        pdf.pages["Kids"].extend([first + number, 0, "R"])
        pdf.pages["Count"] += 1


def _label(pdf: pydyf.PDF, chapters: Sequence[Rendered]) -> None:
    """What a viewer calls each page: 4–1, 4–2, …"""
    ranges, page = pydyf.Array(), 0
    for number, chapter in enumerate(chapters):
        style = {"S": "/D", "P": pydyf.String(f"{number}–"), "St": 1}
        ranges.extend([page, pydyf.Dictionary(style)])
        page += chapter.pages
    pdf.catalog["PageLabels"] = pydyf.Dictionary({"Nums": ranges})


def _bookmark(pdf: pydyf.PDF, chapters: Sequence[Rendered], firsts: Sequence[int]) -> None:
    """The outline: each bookmark below the last of a higher level in its chapter."""
    root = pydyf.Dictionary({"Type": "/Outlines"})
    pdf.add_object(root)
    children: dict[int, list[pydyf.Dictionary]] = {root.number: []}
    for chapter, first in zip(chapters, firsts, strict=True):
        above: list[tuple[int, pydyf.Dictionary]] = []
        for mark in chapter.bookmarks:
            while above and above[-1][0] >= mark.level:
                above.pop()
            parent = above[-1][1] if above else root
            item = _item(chapter, first, mark, parent)
            pdf.add_object(item)
            children[item.number] = []
            children[parent.number].append(item)
            above.append((mark.level, item))
    for number, items in reversed(children.items()):
        _chain(pdf.objects[number], items)
    pdf.catalog["Outlines"] = root.reference


def _item(
    chapter: Rendered, first: int, mark: Bookmark, parent: pydyf.Dictionary
) -> pydyf.Dictionary:
    return pydyf.Dictionary(
        {
            "Title": pydyf.String(mark.label),
            "Parent": parent.reference,
            "Dest": _destination(chapter, first, mark.page, 0, mark.y_pt),
        }
    )


def _chain(parent: pydyf.Dictionary, items: Sequence[pydyf.Dictionary]) -> None:
    """Join the items below one to a list, open; their own lists are joined already."""
    if not items:
        return
    count = len(items) + sum(int(item.get("Count", 0)) for item in items)
    parent.update({"First": items[0].reference, "Last": items[-1].reference, "Count": count})
    for one, after in zip(items, items[1:], strict=False):
        one["Next"], after["Prev"] = after.reference, one.reference

"""Rendered chapters to one PDF: references put in, links, bookmarks, page labels, metadata."""

from __future__ import annotations

import io
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import pydyf

from buildbook.book.effective import Effective, Page
from buildbook.book.finished import finished
from buildbook.book.page_numbers import page_label
from buildbook.book.pdf_objects import KeptObject, closed, within_reach
from buildbook.book.render import Bookmark, Rendered
from buildbook.book.shared_fonts import add_font, merged
from buildbook.book.typeface import face, printable
from buildbook.words.say import language

ABOVE_PT = 4
"""A link shows so much of what stands above its target."""


@dataclass(frozen=True)
class Metadata:
    title: str
    subject: str
    date: str
    """PDF date: D:20260301000000Z."""


@dataclass(frozen=True)
class Leaves:
    """Some pages of a book by themselves, behind a sheet that says what they are."""

    sheet: Rendered
    pages: Collection[Page]
    """Of the chapters, which keep their numbers."""


@dataclass(frozen=True)
class _Part:
    """A chapter, or the sheet before them, with the pages of it that are printed."""

    chapter: Rendered
    number: int | None
    """None for the sheet, whose pages have no numbers."""
    first: int
    """Number that its first object has."""
    pages: tuple[int, ...]

    @property
    def kept(self) -> Collection[int]:
        """Numbers of its objects that what is printed leads to."""
        chapter = self.chapter
        if len(self.pages) == chapter.pages:
            return range(len(chapter.objects))
        return within_reach(chapter.objects, [chapter.page_objects[page] for page in self.pages])


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


def join_chapters(
    chapters: Sequence[Rendered],
    metadata: Metadata,
    effective: Effective | None = None,
    leaves: Leaves | None = None,
    keep: bool = False,
) -> bytes:
    """The PDF of the chapters in order, numbered from 0 for the front matter.

    Every link within the book leads to an anchor of these chapters. `effective` says what each
    page was last changed in, where the chapters hold codes for it. With `leaves` only some pages
    are printed, and links to others lead nowhere. `keep` is as of `add_font`.
    """
    pdf = pydyf.PDF()
    sheet = [leaves.sheet] if leaves else []
    used = merged(chapter.glyphs for chapter in (*sheet, *chapters))
    letters = _letters(effective)
    fonts = {
        name: add_font(pdf, name, glyphs | _glyphs(name, letters), keep)
        for name, glyphs in used.items()
    }
    parts = _parts(pdf, chapters, leaves)
    labels = labels_of(chapters)
    places = _places(parts)
    for part in parts:
        of_book = effective if part.number is not None else None
        done = finished(part.chapter, part.number or 0, labels, of_book)
        _add(pdf, part, done, fonts, places)
    _label(pdf, parts)
    _bookmark(pdf, parts)
    pdf.catalog["PageMode"] = "/UseOutlines"
    pdf.catalog["Lang"] = pydyf.String(language())
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


def _letters(effective: Effective | None) -> str:
    """What labels of pages consist of, and the revisions and dates at their feet."""
    stamps = [state.stamp for state in effective.states.values()] if effective else []
    said = (printable(text) for stamp in stamps for text in (stamp.revision, stamp.date))
    return "".join(sorted({*"0123456789–", *("…" if stamps else ""), *"".join(said)}))


def _glyphs(name: str, letters: str) -> dict[int, str]:
    """Glyph -> text."""
    glyphs = face(name).glyphs
    return {glyphs[ord(letter)]: letter for letter in letters}


def _parts(
    pdf: pydyf.PDF, chapters: Sequence[Rendered], leaves: Leaves | None
) -> tuple[_Part, ...]:
    """What is printed in order, with the numbers that its objects will have."""
    numbered = [*([(None, leaves.sheet)] if leaves else []), *enumerate(chapters)]
    parts, first = [], len(pdf.objects)
    for number, chapter in numbered:
        pages = tuple(
            page
            for page in range(chapter.pages)
            if leaves is None or number is None or (number, page) in leaves.pages
        )
        if pages:
            parts.append(_Part(chapter, number, first, pages))
            first += len(chapter.objects)
    return tuple(parts)


def _places(parts: Sequence[_Part]) -> dict[str, bytes]:
    """Anchor -> the destination in the PDF that it is."""
    places: dict[str, bytes] = {}
    for part in parts:
        for name, (page, x, y) in part.chapter.anchors.items():
            if page in part.pages:
                places.setdefault(name, _destination(part, page, x, y - ABOVE_PT))
    return places


def _destination(part: _Part, page: int, x: float, y: float) -> bytes:
    """A place on a page, in points from its upper left corner, as PDF counts from its foot."""
    chapter = part.chapter
    top = chapter.heights_pt[page] - y
    return b"[%d 0 R /XYZ %.2f %.2f null]" % (part.first + chapter.page_objects[page], x, top)


def _add(
    pdf: pydyf.PDF,
    part: _Part,
    done: Sequence[KeptObject],
    fonts: Mapping[str, bytes],
    places: Mapping[str, bytes],
) -> None:
    """Put a chapter's finished objects into the PDF, with nothing left open."""

    def filled(kind: bytes, rest: bytes) -> bytes:
        if kind == b"r":
            return b"%d 0 R" % (part.first + int(rest))
        if kind == b"f":
            return fonts[rest.decode()]
        return places.get(rest.decode(), b"null") if kind == b"d" else pdf.pages.reference

    printed = part.kept
    for number, kept in enumerate(done):
        if number not in printed:
            pdf.add_object(_Written(b"null"))
            continue
        written = closed(kept.text, filled)
        pdf.add_object(_Written(written) if kept.stream is None else _WrittenStream(kept, written))
    for page in part.pages:
        pdf.pages["Kids"].extend([part.first + part.chapter.page_objects[page], 0, "R"])
        pdf.pages["Count"] += 1


def _label(pdf: pydyf.PDF, parts: Sequence[_Part]) -> None:
    """What a viewer calls each page: 4–1, 4–2, …"""
    ranges, place = pydyf.Array(), 0
    for part in parts:
        last = None
        for page in part.pages:
            if part.number is None and last is None:
                style = {"S": "/r", "St": 1}
                ranges.extend([place, pydyf.Dictionary(style)])
            elif part.number is not None and (last is None or page != last + 1):
                style = {"S": "/D", "P": pydyf.String(f"{part.number}–"), "St": page + 1}
                ranges.extend([place, pydyf.Dictionary(style)])
            last, place = page, place + 1
    pdf.catalog["PageLabels"] = pydyf.Dictionary({"Nums": ranges})


def _bookmark(pdf: pydyf.PDF, parts: Sequence[_Part]) -> None:
    """The outline: each bookmark below the last of a higher level in its chapter."""
    root = pydyf.Dictionary({"Type": "/Outlines"})
    pdf.add_object(root)
    children: dict[int, list[pydyf.Dictionary]] = {root.number: []}
    for part in parts:
        above: list[tuple[int, pydyf.Dictionary]] = []
        for mark in part.chapter.bookmarks:
            if mark.page not in part.pages:
                continue
            while above and above[-1][0] >= mark.level:
                above.pop()
            parent = above[-1][1] if above else root
            item = _item(part, mark, parent)
            pdf.add_object(item)
            children[item.number] = []
            children[parent.number].append(item)
            above.append((mark.level, item))
    for number, items in reversed(children.items()):
        _chain(pdf.objects[number], items)
    pdf.catalog["Outlines"] = root.reference


def _item(part: _Part, mark: Bookmark, parent: pydyf.Dictionary) -> pydyf.Dictionary:
    return pydyf.Dictionary(
        {
            "Title": pydyf.String(mark.label),
            "Parent": parent.reference,
            "Dest": _destination(part, mark.page, 0, mark.y_pt),
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

"""Chapters filled in and ready to be set, with room for the pages that they refer to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from itertools import count

from buildbook.book.chapter import Chapter, anchor
from buildbook.book.drawing_form import BEFORE
from buildbook.book.page_numbers import PageMap, Run, first_pages
from buildbook.book.page_references import Codes, NoRoom
from buildbook.book.record import Record
from buildbook.book.render import Job
from buildbook.book.stamps import StampCodes, codes_for, with_codes
from buildbook.book.table_rows import with_rows_named
from buildbook.book.templates import chapter_html
from buildbook.book.typeface import printable
from buildbook.description.models import VehicleData
from buildbook.drawing.shared.references import with_pages
from buildbook.vehicle.power_model import Supply

ID = re.compile(r'\bid="([^"]*)"')


class _Asked(Mapping[str, str]):
    """The pages that are known before anything is set; remembers whether others were asked for."""

    def __init__(self, known: Mapping[str, str]) -> None:
        self._known = known
        self.others = False

    def __getitem__(self, name: str) -> str:
        self.others |= name not in self._known
        return self._known[name]

    def __contains__(self, name: object) -> bool:
        self.others |= name not in self._known
        return name in self._known

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)


class Filler:
    """Fills in the chapters of one edition: each knows which names the others have a place for."""

    def __init__(
        self,
        chapters: tuple[Chapter, ...],
        vehicle: VehicleData,
        supply: Supply,
        absent: frozenset[str],
        record: Record | None = None,
    ) -> None:
        """`record` says what changed, where revisions were issued: pages then hold codes for it."""
        self._chapters, self._vehicle, self._supply = chapters, vehicle, supply
        self._absent, self._record = absent, record
        self._stamps: dict[str, StampCodes] = {}
        """Codes of each chapter for the revisions of its pages, where any was issued."""
        self._plain: dict[str, str] = {}
        """Chapters that ask for no page, by name: they need not be filled in again."""
        self._written: dict[str, str] = {}
        """What stands in each chapter beside its references."""
        lengths: dict[int, int] = {}
        self._first = first = first_pages(chapters)
        self._chapter_of = {chapter.anchor: n for n, chapter in enumerate(chapters)}
        for place, chapter in enumerate(chapters):
            asked = _Asked(first)
            html = self._html(place, PageMap(asked, {}, absent))
            drawn = "".join(d.svg for d in chapter.drawings)
            if record is not None:
                self._stamps[chapter.name] = codes_for(html + drawn)
                html = self._html(place, self._map(chapter, asked))
            if not asked.others:
                self._plain[chapter.name] = html
            lengths[place] = len(html)
            self._written[chapter.name] = html + drawn
            for name in ID.findall(html):
                self._chapter_of.setdefault(name, place)
        self.longest_first = tuple(sorted(lengths, key=lambda place: -lengths[place]))
        """Places of the chapters, those with most text first: they are to be set first."""

    def job(
        self,
        place: int,
        counts: Mapping[int, int] | None = None,
        effective: Mapping[int, tuple[Run, ...]] | None = None,
    ) -> Job:
        """A chapter ready to be set; `counts` are the pages of those that were set before it.

        `effective` are the revisions of all pages, where they are known.
        """
        for digits in count(2):
            with suppress(NoRoom):
                return self._job(place, counts, effective or {}, digits)
        raise AssertionError("there are always more digits")

    def _job(
        self,
        place: int,
        counts: Mapping[int, int] | None,
        effective: Mapping[int, tuple[Run, ...]],
        digits: int,
    ) -> Job:
        chapter = self._chapters[place]
        written = self._written[chapter.name]
        codes = Codes(self._chapter_of, self._first, written, digits)
        if counts is None and chapter.name in self._plain:
            html = self._plain[chapter.name]
        else:
            html = self._html(place, self._map(chapter, codes, counts, effective))

        def page_of(sheet: str, fixed: str) -> str | None:
            name = anchor("drawing", sheet)
            return codes.code(name, BEFORE[fixed]) if name in codes else None

        files = {
            drawing.name: printable(with_pages(drawing, page_of)) for drawing in chapter.drawings
        }
        stamp = self._stamps.get(chapter.name)
        if stamp is None:
            return Job(chapter.name, html, files, codes.references)
        files = {
            name: with_codes(svg, stamp, self._vehicle.revision) for name, svg in files.items()
        }
        html, rows = with_rows_named(chapter.name, html)
        return Job(chapter.name, html, files, codes.references, stamp, rows)

    def _map(
        self,
        chapter: Chapter,
        labels: Mapping[str, str],
        counts: Mapping[int, int] | None = None,
        effective: Mapping[int, tuple[Run, ...]] | None = None,
    ) -> PageMap:
        stamp = self._stamps.get(chapter.name)
        return PageMap(labels, counts or {}, self._absent, stamp, effective or {})

    def _html(self, place: int, pages: PageMap) -> str:
        return printable(
            chapter_html(
                self._chapters[place],
                place,
                self._chapters,
                self._vehicle,
                pages,
                self._supply,
                self._record,
            )
        )

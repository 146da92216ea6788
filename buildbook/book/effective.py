"""Which pages of a book changed since a revision was issued, and what stands on each for it."""

from __future__ import annotations

import re
import zlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from buildbook.book.page_numbers import Run
from buildbook.book.page_references import put_in
from buildbook.book.pdf_objects import PACKED, KeptObject
from buildbook.book.record import Record, altered
from buildbook.book.render import Rendered
from buildbook.book.stamps import Stamp, put_stamp
from buildbook.book.table_rows import letters_of
from buildbook.issued.model import IssuedChapter, IssuedPage

CONTENT = re.compile(rb"/Contents \0r(\d+)\0")
RESOURCES = re.compile(rb"/Resources \0r(\d+)\0")
MEDIA = re.compile(rb"/MediaBox \[[^\]]*\]")
FORMS = re.compile(rb"/XObject <<([^>]*)>>")
FORM = re.compile(rb"/(\w+) \0r(\d+)\0")
PAINTED = re.compile(rb"/(\w+) Do\b")

Page = tuple[int, int]
"""Number of a chapter, and of its page from 0."""


@dataclass(frozen=True)
class State:
    """What a page says beside its content."""

    stamp: Stamp
    hash: str
    bars: frozenset[str] = frozenset()
    """Hashes of the rows that a bar stands beside."""


@dataclass(frozen=True)
class Effective:
    """The pages of a whole book as they are now."""

    states: Mapping[Page, State]

    @property
    def runs(self) -> dict[int, tuple[Run, ...]]:
        """Pages of each chapter by their revision; none where all are of one."""
        if len({state.stamp for state in self.states.values()}) < 2:
            return {}
        found: dict[int, tuple[Run, ...]] = {}
        for chapter, pages in groupby(sorted(self.states), key=lambda page: page[0]):
            by_revision = groupby(pages, key=lambda page: self.states[page].stamp.revision)
            runs = [(revision, [page for _, page in some]) for revision, some in by_revision]
            found[chapter] = tuple((some[0] + 1, some[-1] + 1, name) for name, some in runs)
        return found


def effective_of(
    chapters: Sequence[Rendered],
    labels: Mapping[str, str],
    record: Record,
    before: Effective | None,
    listing: Collection[str] = (),
) -> Effective:
    """The state of every page, held against the revision that the record names.

    The list of effective pages is on pages itself. Those of the chapters `listing`, which do not
    hold it yet, are taken for unchanged; a page that `before` holds to be changed stays so, so
    that a list that was set anew is not taken back.
    """
    vehicle, base = record.vehicle, record.base
    own = altered(vehicle.revision) if record.is_issued else vehicle.revision
    now = Stamp(own, str(vehicle.date))
    pages = {n: chapter.pages for n, chapter in enumerate(base.chapters)} if base else {}
    rows = {chapter.name: {*chapter.rows.split()} for chapter in base.chapters} if base else {}
    states: dict[Page, State] = {}
    for number, chapter in enumerate(chapters):
        known = pages.get(number, [])
        for page in range(chapter.pages):
            hash_ = page_hash(chapter, page, labels)
            old = known[page] if page < len(known) else None
            was = before.states.get((number, page)) if before else None
            same = old is not None and (old.hash == hash_ or chapter.name in listing)
            if base is not None and old is not None and same and not (was and was.stamp == now):
                stamp = Stamp(old.revision, str(base.dates[old.revision]))
                states[number, page] = State(stamp, hash_, frozenset(old.bars.split()))
            else:
                there = {row.hash for row in chapter.rows if row.page == page} if base else set()
                bars = frozenset(there - rows.get(chapter.name, set()))
                states[number, page] = State(now, hash_, bars)
    return Effective(states)


def issued_chapters(chapters: Sequence[Rendered], effective: Effective) -> list[IssuedChapter]:
    """The pages of a book as a revision keeps them."""
    return [
        IssuedChapter(
            name=chapter.name,
            pages=[
                IssuedPage(
                    revision=state.stamp.revision,
                    hash=state.hash,
                    bars=" ".join(sorted(state.bars)),
                )
                for page in range(chapter.pages)
                for state in (effective.states[number, page],)
            ],
            rows=" ".join(dict.fromkeys(row.hash for row in chapter.rows)),
        )
        for number, chapter in enumerate(chapters)
    ]


def page_hash(chapter: Rendered, page: int, labels: Mapping[str, str]) -> str:
    """Hash of all that a page prints, but for its revision and its bars."""
    by_code = {reference.code: reference for reference in chapter.references}
    said = [*MEDIA.findall(chapter.objects[chapter.page_objects[page]].text)]
    for number in painted(chapter, page):
        kept = chapter.objects[number]
        stream = _unpacked(kept)
        if not kept.packed:
            stream = put_in(stream, chapter.faces, by_code, labels)
            if chapter.stamp is not None:
                stream = put_stamp(stream, chapter.stamp, chapter.faces, None)
        said.append(stream)
    return letters_of(b"\0".join(said))


def painted(chapter: Rendered, page: int) -> Iterator[int]:
    """Numbers of the objects that paint a page: its content, then forms and pictures in it."""
    text = chapter.objects[chapter.page_objects[page]].text
    content = CONTENT.search(text)
    if content is not None:
        yield from _painted(chapter, int(content[1]), text, set())


def _painted(chapter: Rendered, number: int, owner: bytes, seen: set[int]) -> Iterator[int]:
    """An object and what it paints, by the resources that its owner names."""
    seen.add(number)
    yield number
    kept = chapter.objects[number]
    resources = RESOURCES.search(owner)
    named = chapter.objects[int(resources[1])].text if resources else owner
    forms = {name: int(n) for some in FORMS.findall(named) for name, n in FORM.findall(some)}
    is_text = not kept.packed or _is_deflated(kept)
    for name in PAINTED.findall(_unpacked(kept)) if is_text and forms else ():
        if name in forms and forms[name] not in seen:
            inner = forms[name]
            yield from _painted(chapter, inner, chapter.objects[inner].text, seen)


def _unpacked(kept: KeptObject) -> bytes:
    """A stream as it was before it was deflated; a picture as it is."""
    stream = kept.stream or b""
    return zlib.decompress(stream) if _is_deflated(kept) else stream


def _is_deflated(kept: KeptObject) -> bool:
    """Whether a stream was deflated by us: a picture is packed otherwise."""
    return kept.packed and kept.text.endswith(PACKED + b">>")

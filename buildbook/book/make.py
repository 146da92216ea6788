"""Makes the book: chapters to HTML, to pages in worker processes, to one PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path

from buildbook.book.book_error import BookError
from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.editions import WHOLE, Edition, chapters_of
from buildbook.book.effective import Effective, effective_of
from buildbook.book.jobs import Filler
from buildbook.book.join import Leaves, Metadata, join_chapters, labels_of
from buildbook.book.kept_chapters import kept_renderer
from buildbook.book.links import Link, broken_links
from buildbook.book.page_numbers import Run, page_counts
from buildbook.book.record import Record, record_of
from buildbook.book.render import Job, Rendered, Renderer, weasyprint_module
from buildbook.book.workers import Workers, workers_of
from buildbook.description.models import VehicleData
from buildbook.drawing.shared.papers import HALVES
from buildbook.files.writing import write_file
from buildbook.issued.model import Issued
from buildbook.result import Result
from buildbook.sizing.facts import facts_of
from buildbook.sizing.stage import in_its_language
from buildbook.vehicle.power_model import Supply
from buildbook.words.say import say

__all__ = ["BookError", "make_book"]

Progress = Callable[[str, int, int], None]
PASSES = 8
"""What is set again settles in two or three passes; more means that it never will."""


class BrokenLinks(BookError):
    """Links that lead nowhere: a mistake of the program, so that no book is made."""

    def __init__(self, links: Iterable[Link]) -> None:
        lines = [
            f"    chapter {link.chapter}: “{link.text}” leads to {link.target}" for link in links
        ]
        super().__init__(
            "Links in the book lead nowhere. This is a mistake of the program, not of the "
            "description; nothing was written.\n" + "\n".join(lines)
        )


@in_its_language
def make_book(
    result: Result,
    drawings: Drawings,
    out: Path,
    progress: Progress,
    workers: Workers | int = 2,
    edition: Edition = WHOLE,
    keep: bool = False,
    issued: Issued | None = None,
) -> Path:
    """Write an edition of the book to `out`, whole or not at all; returns `out`.

    `workers` are those that wait, or how many to begin with. With `keep` chapters are kept in the
    user's cache folder, and found there by all that they follow from. The whole book is held
    against the revisions that were `issued`.
    Raises BookError where pages cannot be set, OSError where `out` cannot be written.
    """
    weasyprint_module()
    vehicle = result.vehicle.description.vehicle
    if edition.is_half:
        vehicle = vehicle.model_copy(update={"paper": HALVES[vehicle.paper]})
    if edition is WHOLE and issued is not None and issued.revisions:
        book = set_book(result, drawings, issued, progress, workers, keep)
        progress("Joining the chapters", len(book.chapters), len(book.chapters))
        write_file(out, joined(book.chapters, vehicle, effective=book.effective, keep=keep))
        return out
    chapters = chapters_of(edition, result, drawings)
    with _renderer(workers, keep) as render_jobs:
        rendered = set_chapters(
            chapters, vehicle, result.vehicle.supply, render_jobs, progress, edition.absent
        )
    progress("Joining the chapters", len(rendered), len(rendered))
    write_file(out, joined(rendered, vehicle, say(edition.title), keep=keep))
    return out


@dataclass(frozen=True)
class HeldBook:
    """The whole book set, its pages held against the revisions that were issued."""

    chapters: tuple[Rendered, ...]
    effective: Effective
    record: Record


@in_its_language
def set_book(
    result: Result,
    drawings: Drawings,
    issued: Issued,
    progress: Progress,
    workers: Workers | int = 2,
    keep: bool = False,
) -> HeldBook:
    """Set the whole book; `workers` and `keep` as in `make_book`, which raises the same."""
    weasyprint_module()
    vehicle = result.vehicle.description.vehicle
    record = record_of(vehicle, facts_of(result), issued)
    chapters = chapters_of(WHOLE, result, drawings)
    with _renderer(workers, keep) as render_jobs:
        supply = result.vehicle.supply
        setter = _Setter(Filler(chapters, vehicle, supply, WHOLE.absent, record), chapters)
        setter.set_all(render_jobs, progress)
        effective = setter.settle(record)
    return HeldBook(tuple(setter.in_order), effective, record)


@contextmanager
def _renderer(workers: Workers | int, keep: bool) -> Iterator[Renderer]:
    """What sets chapters: workers that wait, or as many as are begun here, and the kept ones."""
    with nullcontext(workers) if isinstance(workers, Workers) else workers_of(workers) as at_work:
        yield kept_renderer(at_work.render) if keep else at_work.render


def joined(
    rendered: Iterable[Rendered],
    vehicle: VehicleData,
    title: str = "",
    effective: Effective | None = None,
    leaves: Leaves | None = None,
    keep: bool = False,
) -> bytes:
    """The PDF of the chapters joined, with the vehicle's own date; `keep` as of `add_font`."""
    metadata = Metadata(
        title=say(
            "{vehicle}: {title}, revision {revision}",
            vehicle=vehicle.name,
            title=title or say(WHOLE.title),
            revision=vehicle.revision,
        ),
        subject=say("Electrical build book"),
        date=f"D:{vehicle.date:%Y%m%d}000000Z",
    )
    return join_chapters(tuple(rendered), metadata, effective, leaves, keep)


def set_chapters(
    chapters: tuple[Chapter, ...],
    vehicle: VehicleData,
    supply: Supply,
    render_jobs: Renderer,
    progress: Progress,
    absent: frozenset[str] = frozenset(),
) -> list[Rendered]:
    """Set every chapter once, those last that say how many pages the others have.

    Raises BookError where pages do not settle, BrokenLinks where a link leads nowhere.
    """
    setter = _Setter(Filler(chapters, vehicle, supply, absent), chapters)
    setter.set_all(render_jobs, progress)
    return setter.in_order


class _Setter:
    """Chapters on their way to pages: what was asked for, and what came of it."""

    def __init__(self, filler: Filler, chapters: tuple[Chapter, ...]) -> None:
        self._filler, self._chapters = filler, chapters
        self._done: dict[str, Rendered] = {}
        self._jobs: dict[str, Job] = {}
        self._take: Callable[[Iterable[Job]], None] = lambda _some: None

    @property
    def in_order(self) -> list[Rendered]:
        """The chapters as they are set."""
        return [self._done[chapter.name] for chapter in self._chapters]

    def set_all(self, render_jobs: Renderer, progress: Progress) -> None:
        """Set every chapter, with the numbers of its pages."""
        count = len(self._chapters)

        def noted(some: Iterable[Job]) -> Iterator[Job]:
            for job in some:
                self._jobs[job.name] = job
                yield job

        def take(some: Iterable[Job]) -> None:
            for rendered in render_jobs(noted(some)):
                self._done[rendered.name] = rendered
                progress(f"Chapter {rendered.name}", min(len(self._done), count - 1), count)

        self._take = take
        now = (n for n in self._filler.longest_first if not self._chapters[n].lists_pages)
        take(map(self._filler.job, now))
        _until_settled(self._listing, self._jobs, take)
        refuse_broken_links(self._jobs.values(), self._done.values())
        self._number()

    def settle(self, record: Record) -> Effective:
        """The state of each page; the chapters that list them are set anew until they say it."""
        asked: dict[str, Job] = {}
        effective: Effective | None = None
        listing = tuple(chapter.name for chapter in self._chapters if chapter.lists_pages)
        for _turn in range(PASSES):
            chapters = self.in_order
            labels = labels_of(chapters)
            effective = effective_of(chapters, labels, record, effective, listing)
            listing = ()
            wanted = self._listing(effective.runs)
            changed = {name: job for name, job in wanted.items() if asked.get(name) != job}
            if not changed:
                return effective
            asked.update(changed)
            self._take(job for name, job in changed.items() if self._jobs[name] != job)
            self._number()
        raise _unsettled([*asked])

    def _listing(self, effective: Mapping[int, tuple[Run, ...]] | None = None) -> dict[str, Job]:
        """The chapters that say how many pages the others have, and of which revision."""
        counts = page_counts(self._chapters, self._done)
        return {
            chapter.name: self._filler.job(number, counts, effective)
            for number, chapter in enumerate(self._chapters)
            if chapter.lists_pages
        }

    def _number(self) -> None:
        _until_settled(
            lambda: _numbered(self._chapters, self._jobs, self._done), self._jobs, self._take
        )


def _until_settled(
    wanted: Callable[[], Mapping[str, Job]],
    jobs: Mapping[str, Job],
    take: Callable[[Iterable[Job]], None],
) -> None:
    """Set what is wanted, and again while it differs from what was set."""
    for _turn in range(PASSES):
        changed = {name: job for name, job in wanted().items() if jobs.get(name) != job}
        if not changed:
            return
        take(changed.values())
    raise _unsettled(changed)


def _unsettled(names: Iterable[str]) -> BookError:
    return BookError(
        f"The page references of {', '.join(names)} do not settle in {PASSES} passes. This is "
        "a mistake of the program, not of the description; nothing was written."
    )


def _numbered(
    chapters: tuple[Chapter, ...], jobs: Mapping[str, Job], done: Mapping[str, Rendered]
) -> dict[str, Job]:
    """Chapters in which references cannot be put in later, to be laid out with them."""
    labels = labels_of([done[chapter.name] for chapter in chapters])
    return {
        name: jobs[name].numbered(labels)
        for name, rendered in done.items()
        if rendered.unplaced or any(not r.holds(labels[r.target]) for r in rendered.references)
    }


def refuse_broken_links(jobs: Iterable[Job], rendered: Iterable[Rendered]) -> None:
    """Raises BrokenLinks where a link of the chapters leads to no anchor on their pages."""
    anchors = {name for chapter in rendered for name in chapter.anchors}
    if broken := broken_links({job.name: job.html for job in jobs}, anchors):
        raise BrokenLinks(broken)

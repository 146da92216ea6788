"""Makes the book: chapters to HTML, to pages in worker processes, to one PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from contextlib import nullcontext
from pathlib import Path

from buildbook.book.book_error import BookError
from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.editions import WHOLE, Edition, chapters_of
from buildbook.book.jobs import Filler
from buildbook.book.join import Metadata, join_chapters, labels_of
from buildbook.book.kept_chapters import kept_renderer
from buildbook.book.links import Link, broken_links
from buildbook.book.page_numbers import page_counts
from buildbook.book.render import Job, Rendered, weasyprint_module
from buildbook.book.workers import Renderer, Workers, workers_of
from buildbook.description.models import VehicleData
from buildbook.drawing.shared.papers import HALVES
from buildbook.files.writing import write_file
from buildbook.result import Result
from buildbook.vehicle.power_model import Supply

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


def make_book(
    result: Result,
    drawings: Drawings,
    out: Path,
    progress: Progress,
    workers: Workers | int = 2,
    edition: Edition = WHOLE,
    keep: bool = False,
) -> Path:
    """Write an edition of the book to `out`, whole or not at all; returns `out`.

    `workers` are those that wait, or how many to begin with. With `keep` chapters are kept in the
    user's cache folder, and found there by all that they follow from.
    Raises BookError where pages cannot be set, OSError where `out` cannot be written.
    """
    weasyprint_module()
    vehicle = result.vehicle.description.vehicle
    if edition.is_half:
        vehicle = vehicle.model_copy(update={"paper": HALVES[vehicle.paper]})
    chapters = chapters_of(edition, result, drawings)
    begun = nullcontext(workers) if isinstance(workers, Workers) else workers_of(workers)
    with begun as at_work:
        render_jobs = kept_renderer(at_work.render) if keep else at_work.render
        rendered = set_chapters(
            chapters, vehicle, result.vehicle.supply, render_jobs, progress, edition.absent
        )
    progress("Joining the chapters", len(rendered), len(rendered))
    write_file(out, joined(rendered, vehicle, edition.title))
    return out


def joined(rendered: Iterable[Rendered], vehicle: VehicleData, title: str = WHOLE.title) -> bytes:
    """The PDF of the chapters joined, dated with the vehicle's own date."""
    metadata = Metadata(
        title=f"{vehicle.name}: {title}, revision {vehicle.revision}",
        subject="Electrical build book",
        date=f"D:{vehicle.date:%Y%m%d}000000Z",
    )
    return join_chapters(tuple(rendered), metadata)


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
    filler = Filler(chapters, vehicle, supply, absent)
    done: dict[str, Rendered] = {}
    jobs: dict[str, Job] = {}

    def take(some: Mapping[str, Job]) -> None:
        jobs.update(some)
        for rendered in render_jobs([*some.values()]) if some else ():
            done[rendered.name] = rendered
            progress(f"Chapter {rendered.name}", min(len(done), len(chapters) - 1), len(chapters))

    def counted() -> dict[str, Job]:
        counts = page_counts(chapters, done)
        return {c.name: filler.job(n, counts) for n, c in enumerate(chapters) if c.lists_pages}

    take({c.name: filler.job(n) for n, c in enumerate(chapters) if not c.lists_pages})
    _until_settled(counted, jobs, take)
    refuse_broken_links(jobs.values(), done.values())
    _until_settled(lambda: _numbered(chapters, jobs, done), jobs, take)
    return [done[chapter.name] for chapter in chapters]


def _until_settled(
    wanted: Callable[[], Mapping[str, Job]],
    jobs: Mapping[str, Job],
    take: Callable[[Mapping[str, Job]], None],
) -> None:
    """Set what is wanted, and again while it differs from what was set."""
    for _turn in range(PASSES):
        changed = {name: job for name, job in wanted().items() if jobs.get(name) != job}
        if not changed:
            return
        take(changed)
    raise BookError(
        f"The page references of {', '.join(changed)} do not settle in {PASSES} passes. This is "
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

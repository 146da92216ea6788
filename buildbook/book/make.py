"""Makes the book: chapters to HTML, to pages in worker processes, to one PDF."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path

from buildbook.book.chapter import Chapter, anchor
from buildbook.book.drawings import Drawings
from buildbook.book.editions import WHOLE, Edition, chapters_of
from buildbook.book.join import Metadata, join_chapters
from buildbook.book.links import Link, broken_links
from buildbook.book.page_numbers import PageMap, page_map
from buildbook.book.render import BookError, Job, Rendered, render, weasyprint_module
from buildbook.book.templates import chapter_html
from buildbook.description.models import VehicleData
from buildbook.drawing.shared.references import with_pages
from buildbook.files.writing import write_file
from buildbook.result import Result
from buildbook.vehicle.model import Supply

__all__ = ["BookError", "make_book"]

Progress = Callable[[str, int, int], None]
Renderer = Callable[[list[Job]], Iterator[Rendered]]
PASSES = 8
"""Page references settle in two or three passes; more means that they never will."""


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
    workers: int = 2,
    edition: Edition = WHOLE,
) -> Path:
    """Write an edition of the book to `out`, whole or not at all; returns `out`.

    Raises BookError where pages cannot be set, OSError where `out` cannot be written.
    """
    weasyprint_module()
    vehicle = result.vehicle.description.vehicle
    if edition.paper:
        vehicle = vehicle.model_copy(update={"paper": edition.paper})
    chapters = chapters_of(edition, result, drawings)
    with renderer(workers) as render_jobs:
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


@contextmanager
def renderer(workers: int) -> Iterator[Renderer]:
    """Renders lists of jobs: in this process for one worker, else in spawned ones.

    Those look for unreachable rings as seldom as this one does: a new process would begin anew.
    """
    if workers <= 1:
        yield lambda jobs: map(render, jobs)
        return
    with ProcessPoolExecutor(
        workers, get_context("spawn"), initializer=gc.set_threshold, initargs=gc.get_threshold()
    ) as pool:

        def spread(jobs: list[Job]) -> Iterator[Rendered]:
            longest_first = sorted(jobs, key=lambda job: -len(job.html))
            futures = [pool.submit(render, job) for job in longest_first]
            for future in as_completed(futures):
                yield future.result()

        yield spread


def set_chapters(
    chapters: tuple[Chapter, ...],
    vehicle: VehicleData,
    supply: Supply,
    render_jobs: Renderer,
    progress: Progress,
    absent: frozenset[str] = frozenset(),
) -> list[Rendered]:
    """Render every chapter, and again those whose page references changed, until none does.

    Raises BookError where they do not settle, BrokenLinks where a link leads nowhere.
    """
    done: dict[str, Rendered] = {}
    set_so_far: dict[str, Job] = {}
    total = len(chapters)
    for turn in range(PASSES):
        pages = page_map(chapters, done, absent)
        changed = [
            job
            for place, chapter in enumerate(chapters)
            if (turn or not chapter.lists_pages)
            and (job := job_of(chapter, place, chapters, vehicle, pages, supply))
            != set_so_far.get(chapter.name)
        ]
        if turn and not changed:
            break
        for rendered in render_jobs(changed):
            done[rendered.name] = rendered
            progress(f"Chapter {rendered.name}", min(len(done), total - 1), total)
        set_so_far.update((job.name, job) for job in changed)
    else:
        names = ", ".join(job.name for job in changed)
        raise BookError(
            f"The page references of {names} do not settle in {PASSES} passes. This is a mistake "
            "of the program, not of the description; nothing was written."
        )
    refuse_broken_links(set_so_far.values(), done.values())
    return [done[chapter.name] for chapter in chapters]


def refuse_broken_links(jobs: Iterable[Job], rendered: Iterable[Rendered]) -> None:
    """Raises BrokenLinks where a link of the chapters leads to no anchor on their pages."""
    anchors = {name for chapter in rendered for name in chapter.anchors}
    if broken := broken_links({job.name: job.html for job in jobs}, anchors):
        raise BrokenLinks(broken)


def job_of(
    chapter: Chapter,
    place: int,
    chapters: tuple[Chapter, ...],
    vehicle: VehicleData,
    pages: PageMap,
    supply: Supply,
) -> Job:
    """A chapter ready to be set: its text and drawings say the pages that are known so far."""

    def page_of(sheet: str) -> str | None:
        return pages.labels.get(anchor("drawing", sheet))

    files = {drawing.name: with_pages(drawing, page_of) for drawing in chapter.drawings}
    return Job(chapter.name, chapter_html(chapter, place, chapters, vehicle, pages, supply), files)

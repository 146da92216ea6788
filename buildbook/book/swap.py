"""The pages to swap in a binder since a revision, behind a sheet that lists them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.effective import Page
from buildbook.book.join import Leaves
from buildbook.book.make import HeldBook, Progress, joined, set_book
from buildbook.book.page_numbers import PageMap, page_run
from buildbook.book.render import Job, Rendered, render
from buildbook.book.templates import chapter_html
from buildbook.book.typeface import printable
from buildbook.book.workers import Workers
from buildbook.files.writing import write_file
from buildbook.issued.model import Issued, Revision
from buildbook.result import Result
from buildbook.words.say import say


@dataclass(frozen=True)
class Swap:
    """Pages of a binder to take out, and those of a book to put in."""

    out: tuple[Page, ...]
    put_in: tuple[Page, ...]


def swap_of(since: Revision, book: HeldBook) -> Swap:
    """What makes of a binder of one revision the book as it is now.

    A page stays where its content and the revision at its foot are the same.
    """
    old = {
        (number, place): page
        for number, chapter in enumerate(since.chapters)
        for place, page in enumerate(chapter.pages)
    }
    states = book.effective.states
    same = {
        page
        for page, state in states.items()
        if page in old
        and (old[page].hash, old[page].revision) == (state.hash, state.stamp.revision)
    }
    return Swap(
        tuple(page for page in sorted(old) if page not in same),
        tuple(page for page in sorted(states) if page not in same),
    )


def make_swap(
    result: Result,
    drawings: Drawings,
    out: Path,
    progress: Progress,
    issued: Issued,
    since: Revision,
    workers: Workers | int = 2,
    keep: bool = False,
) -> Swap:
    """Write the pages to swap since a revision to `out`, whole or not at all.

    Raises as `make_book` does; `workers` and `keep` are as there.
    """
    book = set_book(result, drawings, issued, progress, workers, keep)
    swap = swap_of(since, book)
    sheet = _sheet(result, since, swap)
    progress("Joining the pages", len(book.chapters), len(book.chapters))
    vehicle = result.vehicle.description.vehicle
    title = say("pages changed since {revision}", revision=since.revision)
    leaves = Leaves(sheet, frozenset(swap.put_in))
    write_file(out, joined(book.chapters, vehicle, title, book.effective, leaves, keep))
    return swap


def _sheet(result: Result, since: Revision, swap: Swap) -> Rendered:
    """The sheet on top: what to take out and what to put in, chapter by chapter."""
    vehicle, supply = result.vehicle.description.vehicle, result.vehicle.supply
    here, there = _by_chapter(swap.out), _by_chapter(swap.put_in)
    rows = [(n, here.get(n, ""), there.get(n, "")) for n in sorted({*here, *there})]
    counts = len(swap.out), len(swap.put_in)
    context = {"since": since, "rows": rows, "counts": counts}
    chapter = Chapter("swap", say("Pages to swap"), "swap.html", context)
    html = chapter_html(chapter, 0, (chapter,), vehicle, PageMap(), supply)
    return render(Job(chapter.name, printable(html), {}))


def _by_chapter(pages: Iterable[Page]) -> dict[int, str]:
    """Chapter -> its pages in words: '4–1, 4–3 to 4–5'."""
    found: dict[int, str] = {}
    for chapter, some in groupby(pages, key=lambda page: page[0]):
        runs: list[list[int]] = []
        for _, page in some:
            if runs and page == runs[-1][-1] + 1:
                runs[-1].append(page)
            else:
                runs.append([page])
        found[chapter] = ", ".join(page_run(chapter, run[0] + 1, run[-1] + 1) for run in runs)
    return found

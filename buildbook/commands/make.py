"""`buildbook make`: the book of a vehicle as a PDF, or as one HTML file for a telephone."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.book.edition_list import (
    EDITION_LINES,
    HELPER_NAME,
    PHONE_NAME,
    TRACKSIDE_NAME,
    WHOLE_NAME,
)
from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    errors_of,
    issued_in,
    lines_of_left_out,
    out_option,
    progress_line,
    refuse_unknown_harness,
    refuse_unwritable,
    say,
    vehicle_argument,
    worked_out,
)
from buildbook.drawing.shared.papers import PAPERS
from buildbook.files.writing import write_file

if TYPE_CHECKING:
    from concurrent.futures import Future

    from buildbook.book.editions import Edition
    from buildbook.book.kept_books import Made
    from buildbook.description.models import Description
    from buildbook.drawing.shared.by_subject import Sheets
    from buildbook.issued.model import Issued
    from buildbook.sizing.stage import Sized
    from buildbook.tasks import Asked, Found, Task

WORKERS = 2
"""Processes beside this one, which waits while they work."""


@click.command(epilog=EPILOG)
@vehicle_argument
@out_option
@click.option(
    "--edition",
    type=click.Choice(sorted(EDITION_LINES)),
    default="whole",
    show_default=True,
    help="Which part of the book to print: "
    + " ".join(f"{name}: {line}" for name, line in EDITION_LINES.items()),
)
@click.option("--harness", default="", help="The harness of the helper's pack.")
@click.option(
    "--booklet",
    is_flag=True,
    help="The trackside pages also two on a sheet, to print on both sides, fold and staple.",
)
@click.option(
    "--full-size",
    "full_size",
    metavar="HARNESS",
    default="",
    help="Instead of the book: the layout of one harness, or of all, at full size "
    "on sheets to join.",
)
@click.option(
    "--paper",
    type=click.Choice(sorted(PAPERS)),
    default=None,
    help="Paper of the full-size sheets.  [default: the book's]",
)
@click.option(
    "--changed-since",
    "since",
    metavar="REVISION",
    default="",
    help="Only the pages to swap in a binder that was printed at this issued revision, behind a "
    "sheet that lists which to take out and which to put in.",
)
@click.option(
    "--variant",
    metavar="NAME",
    help="Make it of this variant, 'as written' for none, in a file of its own; without it of the "
    "one that the vehicle names.",
)
@click.option(
    "--no-cache",
    is_flag=True,
    help="Make everything anew, and keep nothing in the cache folder.",
)
def make(
    vehicle: Path,
    out: Path,
    edition: str,
    harness: str,
    booklet: bool,
    full_size: str,
    paper: str | None,
    since: str,
    variant: str | None,
    no_cache: bool,
) -> None:
    """Make the build book of VEHICLE as a PDF, or for a telephone as one HTML file.

    Works out routes, lengths, sizes, fuses, voltages and faults, and writes OUT/NAME.pdf,
    or OUT/NAME-EDITION.pdf for a part of it, OUT/NAME-phone.html for a telephone,
    OUT/NAME-full-size-HARNESS.pdf, or OUT/NAME-changed-since-REVISION.pdf; with --variant
    its name follows that of the vehicle.
    Nothing is written where the description has problems.

    Sums, drawings and chapters are kept in the cache folder ($XDG_CACHE_HOME/buildbook or
    ~/.cache/buildbook) by what they follow from, and only what changed is worked out and set
    anew; `buildbook forget` empties it.
    """
    from buildbook.book.book_error import BookError
    from buildbook.book.kept_books import find_made, keep_made, made_key

    refuse_what_does_not_go_together(edition, harness, full_size, paper)
    if since and (edition != WHOLE_NAME or full_size):
        raise Unclear(
            f"--changed-since {since} goes with the whole book alone",
            "leave --edition and --full-size out",
            "a revision keeps the pages of the whole book, and of no other",
        )
    if since and variant is not None:
        raise Unclear(
            f"--changed-since {since} has no meaning beside --variant {variant}",
            "leave one of the two out",
            "pages of a binder are swapped for those of the vehicle as it is issued",
        )
    if booklet and edition != TRACKSIDE_NAME:
        raise Unclear(
            f"--booklet goes with --edition {TRACKSIDE_NAME} alone",
            f"--edition {TRACKSIDE_NAME} --booklet",
            "other editions are bound in a binder, leaf by leaf",
        )
    refuse_unwritable(out)
    words = (edition, harness, full_size, paper or "", since, variant or "")
    key = "" if no_cache else made_key(vehicle, words)
    made = found = find_made(key) if key else None
    try:
        if made is not None:
            refuse_folder(out / made.file_name)
            write_file(out / made.file_name, made.content)
        elif full_size:
            made = make_full_size_sheets(vehicle, out, full_size, paper, variant, not no_cache)
        elif edition == PHONE_NAME:
            made = make_phone_edition(vehicle, out, variant, not no_cache)
        else:
            whole = edition == WHOLE_NAME and variant is None
            issued = issued_in(vehicle) if whole else None
            if since and issued:
                refuse_not_issued(issued, since)
            made = make_edition(
                vehicle, out, edition, harness, not no_cache, issued, since, variant
            )
        folds = [folded(out / made.file_name, made.content)] if booklet else []
    except BookError as error:
        say(str(error))
        sys.exit(1)
    except OSError as error:
        place = error.filename or out
        say(f"{place}: cannot be written ({error.strerror}). Choose another with --out.")
        sys.exit(2)
    if key and found is None and key == made_key(vehicle, words):
        keep_made(key, made)
    for line in made.said:
        say(line)
    for path in (out / made.file_name, *folds):
        click.echo(str(path))
    if made.errors:
        say(f"The book was made with {made.errors} findings at error level: see its findings.")
        sys.exit(1)


def folded(pages: Path, content: bytes) -> Path:
    """Write the booklet of some pages beside them; its path."""
    from buildbook.book.booklet import booklet

    target = pages.with_name(f"{pages.stem}-booklet.pdf")
    write_file(target, booklet(content))
    return target


def make_edition(
    vehicle: Path,
    out: Path,
    edition: str,
    harness: str,
    keep: bool,
    issued: Issued | None,
    since: str = "",
    variant: str | None = None,
) -> Made:
    """Work the vehicle out, draw and set one edition of its book, in workers that begin early."""
    from buildbook.book.drawings import Drawings
    from buildbook.book.kept_books import Made
    from buildbook.book.make import make_book
    from buildbook.book.swap import make_swap
    from buildbook.book.workers import Workers
    from buildbook.files.names import file_name

    with ExitStack() as ending:
        begun: dict[str, Future[dict[str, Mapping[str, Sheets]]]] = {}
        at_work: list[Workers] = []

        def when_read(description: Description) -> None:
            if edition == HELPER_NAME:
                refuse_unknown_harness("--harness", harness, list(description.rope))
            refuse_folder(target_of(description, out, edition, harness, "", variant))
            at_work.append(Workers(WORKERS))
            ending.callback(at_work[0].close)

        def when_sized(sized: Sized) -> None:
            if edition_named(edition, harness).draws_all:
                begun.update(at_work[0].draw(sized, keep))

        def begin(
            function: Callable[Asked, Found], /, *args: Asked.args, **kwargs: Asked.kwargs
        ) -> Task[Found]:
            return at_work[0].begin(function, *args, **kwargs)

        result = worked_out(vehicle, when_read, when_sized, variant, begin, keep)
        target = target_of(result.vehicle.description, out, edition, harness, "", variant)
        drawings = Drawings(result, begun=begun)
        if issued and (before := issued.named(since)):
            target = target.with_name(f"{target.stem}-changed-since-{file_name(since)}.pdf")
            make_swap(result, drawings, target, progress_line, issued, before, at_work[0], keep)
        else:
            chosen = edition_named(edition, harness)
            make_book(result, drawings, target, progress_line, at_work[0], chosen, keep, issued)
        said = tuple(lines_of_left_out(drawings.asked()))
        return Made(target.name, target.read_bytes(), said, len(errors_of(result)))


def make_phone_edition(
    vehicle: Path, out: Path, variant: str | None = None, keep: bool = True
) -> Made:
    """Work the vehicle out and write what a telephone opens."""
    from buildbook.book.drawings import Drawings
    from buildbook.book.kept_books import Made
    from buildbook.phone.page import make_phone

    def when_read(description: Description) -> None:
        refuse_folder(target_of(description, out, PHONE_NAME, "", "", variant))

    result = worked_out(vehicle, when_read, variant=variant, keep=keep)
    drawings = Drawings(result)
    target = make_phone(
        result, drawings, target_of(result.vehicle.description, out, PHONE_NAME, "", "", variant)
    )
    said = tuple(lines_of_left_out(drawings.asked()))
    return Made(target.name, target.read_bytes(), said, len(errors_of(result)))


def make_full_size_sheets(
    vehicle: Path,
    out: Path,
    harness: str,
    paper: str | None,
    variant: str | None = None,
    keep: bool = True,
) -> Made:
    """Lay out and set the full-size sheets of one harness, or of all."""
    from buildbook.book.full_size import make_full_size
    from buildbook.book.kept_books import Made

    def when_read(description: Description) -> None:
        refuse_unknown_harness("--full-size", harness, [*description.rope, "all"])
        refuse_folder(target_of(description, out, "whole", "", harness, variant))

    result = worked_out(vehicle, when_read, variant=variant, keep=keep)
    description = result.vehicle.description
    target = target_of(description, out, "whole", "", harness, variant)
    harnesses = [*description.rope] if harness == "all" else [harness]
    chosen = paper or description.vehicle.paper
    drawn = make_full_size(result, harnesses, chosen, target, progress_line)
    said = tuple(lines_of_left_out(drawn))
    return Made(target.name, target.read_bytes(), said, len(errors_of(result)))


def edition_named(edition: str, harness: str) -> Edition:
    """The edition asked for, of the harness where it is a helper's pack."""
    from buildbook.book.editions import EDITIONS, helper_pack

    return helper_pack(harness) if edition == HELPER_NAME else EDITIONS[edition]


def target_of(
    description: Description,
    out: Path,
    edition: str,
    harness: str,
    full_size: str,
    variant: str | None = None,
) -> Path:
    """The file that is made; a variant that was asked for does not take the vehicle's own."""
    from buildbook.files.names import file_name

    name = file_name(description.vehicle.name).lower()
    name += f"-{file_name(variant)}" if variant is not None else ""
    if full_size:
        return out / f"{name}-full-size-{file_name(full_size)}.pdf"
    if edition == PHONE_NAME:
        return out / f"{name}-{PHONE_NAME}.html"
    chosen = edition_named(edition, harness)
    return out / f"{'-'.join(filter(None, (name, chosen.name)))}.pdf"


def refuse_what_does_not_go_together(
    edition: str, harness: str, full_size: str, paper: str | None
) -> None:
    """Raises Unclear for an option that would be passed over without a word."""
    idle = "it would be passed over, and what is made would not be what was asked for"
    if full_size and edition != "whole":
        raise Unclear(
            f"--full-size makes sheets in place of a book, so --edition {edition} "
            "has no meaning beside it",
            "give one of the two",
            idle,
        )
    if full_size and harness:
        raise Unclear(
            f"--harness {harness} has no meaning beside --full-size {full_size}",
            "--full-size itself names the harness",
            idle,
        )
    if harness and edition != HELPER_NAME:
        raise Unclear(
            f"--harness {harness} goes with --edition {HELPER_NAME} alone",
            f"--edition {HELPER_NAME} --harness {harness}",
            idle,
        )
    if paper and not full_size:
        raise Unclear(
            f"--paper {paper} goes with --full-size alone",
            "the book's paper is `paper` in vehicle.yaml",
            idle,
        )


def refuse_not_issued(issued: Issued, since: str) -> None:
    """Raises Unclear for a revision that was not issued."""
    if since not in issued.names:
        there = f"there are {', '.join(issued.names)}" if issued.names else "none was issued yet"
        raise Unclear(
            f"--changed-since {since}: revision {since} was not issued",
            f"{there}; `buildbook issue` issues one",
            "what its pages said is not known",
        )


def refuse_folder(target: Path) -> None:
    """Raises Unclear where a folder stands in the place of the file that is made."""
    if target.is_dir():
        raise Unclear(
            f"{target} is a folder",
            "move it away, or name another folder with --out",
            "the file could not be written in its place",
        )

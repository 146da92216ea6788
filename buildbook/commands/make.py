"""`buildbook make`: the book of a vehicle as a PDF."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.book.editions import EDITIONS, HELPER, Edition, helper_pack
from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    errors_of,
    progress_line,
    refuse_unwritable,
    say,
    say_left_out,
    vehicle_argument,
    worked_out,
)
from buildbook.drawing.harness.tiles import PAPERS
from buildbook.result import Result

if TYPE_CHECKING:
    from buildbook.description.models import Description


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("output"),
    show_default=True,
    help="Folder for the book.",
)
@click.option(
    "--edition",
    type=click.Choice(sorted(EDITIONS)),
    default="whole",
    show_default=True,
    help="Which part of the book to print: "
    + " ".join(f"{name}: {e.teaches}" for name, e in EDITIONS.items()),
)
@click.option("--harness", default="", help="The harness of the helper's pack.")
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
def make(
    vehicle: Path, out: Path, edition: str, harness: str, full_size: str, paper: str | None
) -> None:
    """Make the build book of VEHICLE as a PDF.

    Works out routes, lengths, sizes, fuses, voltages and faults, and writes OUT/NAME.pdf,
    or OUT/NAME-EDITION.pdf for a part of it, or OUT/NAME-full-size-HARNESS.pdf.
    Nothing is written where the description has problems.
    """
    from buildbook.book.make import BookError

    refuse_what_does_not_go_together(edition, harness, full_size, paper)
    refuse_unwritable(out)

    def when_read(description: Description) -> None:
        if full_size:
            refuse_unknown("--full-size", full_size, [*description.rope, "all"])
        elif edition == HELPER.name:
            refuse_unknown("--harness", harness, list(description.rope))
        refuse_folder(target_of(description, out, edition, harness, full_size))

    result = worked_out(vehicle, when_read)
    made = target_of(result.vehicle.description, out, edition, harness, full_size)
    if full_size:
        harnesses = [*result.vehicle.description.rope] if full_size == "all" else [full_size]
        write = partial(write_full_size, result, harnesses, paper, made)
    else:
        write = partial(write_book, result, edition_named(edition, harness), made)
    try:
        write()
    except BookError as error:
        say(str(error))
        sys.exit(1)
    except OSError as error:
        say(f"{made}: cannot be written ({error.strerror}). Choose another folder with --out.")
        sys.exit(2)
    click.echo(str(made))
    errors = errors_of(result)
    if errors:
        say(f"The book was made with {len(errors)} findings at error level: see its findings.")
        sys.exit(1)


def write_book(result: Result, edition: Edition, target: Path) -> None:
    """Draw and set one edition of the book."""
    from buildbook.book.drawings import Drawings
    from buildbook.book.make import make_book

    say("Drawing")
    drawings = Drawings(result)
    make_book(result, drawings, target, progress_line, edition=edition)
    say_left_out(drawings.asked())


def write_full_size(result: Result, harnesses: list[str], paper: str | None, target: Path) -> None:
    """Lay out and set the full-size sheets of some harnesses."""
    from buildbook.book.full_size import make_full_size

    chosen = paper or result.vehicle.description.vehicle.paper
    say_left_out(make_full_size(result, harnesses, chosen, target, progress_line))


def edition_named(edition: str, harness: str) -> Edition:
    """The edition asked for, of the harness where it is a helper's pack."""
    chosen = EDITIONS[edition]
    return helper_pack(harness) if chosen is HELPER else chosen


def target_of(
    description: Description, out: Path, edition: str, harness: str, full_size: str
) -> Path:
    """The file that is made."""
    from buildbook.export.tables import file_name

    name = file_name(description.vehicle.name).lower()
    if full_size:
        return out / f"{name}-full-size-{file_name(full_size)}.pdf"
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
    if harness and edition != HELPER.name:
        raise Unclear(
            f"--harness {harness} goes with --edition {HELPER.name} alone",
            f"--edition {HELPER.name} --harness {harness}",
            idle,
        )
    if paper and not full_size:
        raise Unclear(
            f"--paper {paper} goes with --full-size alone",
            "the book's paper is `paper` in vehicle.yaml",
            idle,
        )


def refuse_unknown(option: str, name: str, known: list[str]) -> None:
    """Raises Unclear for the name of a harness that the description has not got, or for none."""
    from buildbook.description.suggest import did_you_mean

    if name in known:
        return
    there = f"there are {', '.join(known)}" if known else "the description has none"
    if not name:
        raise Unclear(
            f"{option} is missing: of which harness?",
            there,
            "a helper's pack holds one harness alone",
        )
    close = did_you_mean(name, known)
    hint = f"{close} {there}" if close.startswith("did you mean") else there
    raise Unclear(
        f"{option} {name}: there is no harness `{name}`", hint, "nothing could be drawn for it"
    )


def refuse_folder(target: Path) -> None:
    """Raises Unclear where a folder stands in the place of the file that is made."""
    if target.is_dir():
        raise Unclear(
            f"{target} is a folder",
            "move it away, or name another folder with --out",
            "the file could not be written in its place",
        )

"""`buildbook make`: the book of a vehicle as a PDF."""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import click

from buildbook.book.editions import EDITIONS, HELPER, Edition, helper_pack
from buildbook.commands.telling import (
    EPILOG,
    errors_of,
    progress_line,
    say,
    vehicle_argument,
    worked_out,
)
from buildbook.drawing.tiles import PAPERS
from buildbook.result import Result


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("output"),
    show_default=True, help="Folder for the book.",
)  # fmt: skip
@click.option("--edition", type=click.Choice(sorted(EDITIONS)), default="whole",
              show_default=True, help="Which part of the book to print: "
              + " ".join(f"{name}: {e.teaches}" for name, e in EDITIONS.items()))  # fmt: skip
@click.option("--harness", default="", help="The harness of the helper's pack.")
@click.option("--full-size", "full_size", metavar="HARNESS", default="",
              help="Instead of the book: the layout of one harness, or of all, at full size "
              "on sheets to join.")  # fmt: skip
@click.option("--paper", type=click.Choice(sorted(PAPERS)), default=None,
              help="Paper of the full-size sheets.  [default: the book's]")  # fmt: skip
def make(
    vehicle: Path, out: Path, edition: str, harness: str, full_size: str, paper: str | None
) -> None:
    """Make the build book of VEHICLE as a PDF.

    Works out routes, lengths, sizes, fuses, voltages and faults, and writes OUT/NAME.pdf,
    or OUT/NAME-EDITION.pdf for a part of it, or OUT/NAME-full-size-HARNESS.pdf.
    Nothing is written where the description has problems.
    """
    from buildbook.book.make import BookError
    from buildbook.export import file_name

    result = worked_out(vehicle)
    name = file_name(result.vehicle.description.vehicle.name).lower()
    if full_size:
        harnesses = chosen_harnesses(result, full_size)
        made = out / f"{name}-full-size-{file_name(full_size)}.pdf"
        write = partial(write_full_size, result, harnesses, paper, made)
    else:
        chosen = edition_named(result, edition, harness)
        made = out / f"{'-'.join(filter(None, (name, chosen.name)))}.pdf"
        write = partial(write_book, result, chosen, made)
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
    from buildbook.book.drawings import draw_all
    from buildbook.book.make import make_book

    say("Drawing")
    make_book(result, draw_all(result), target, progress_line, edition=edition)


def write_full_size(
    result: Result, harnesses: list[str], paper: str | None, target: Path
) -> None:
    """Lay out and set the full-size sheets of some harnesses."""
    from buildbook.book.full_size import make_full_size

    chosen = paper or result.vehicle.description.vehicle.paper
    make_full_size(result, harnesses, chosen, target, progress_line)


def edition_named(result: Result, edition: str, harness: str) -> Edition:
    """The edition asked for; a usage error where a harness is named amiss or not at all."""
    chosen = EDITIONS[edition]
    if chosen is HELPER:
        known = list(result.vehicle.description.rope)
        if harness not in known:
            raise click.UsageError(f"say which with --harness: {', '.join(known)}.")
        return helper_pack(harness)
    if harness:
        raise click.UsageError("--harness goes with --edition helper.")
    return chosen


def chosen_harnesses(result: Result, name: str) -> list[str]:
    """The harness named, or with 'all' every one; a usage error for a name that is none."""
    known = list(result.vehicle.description.rope)
    if name != "all" and name not in known:
        raise click.UsageError(f"there is no harness {name}; there are {', '.join(known)}.")
    return known if name == "all" else [name]

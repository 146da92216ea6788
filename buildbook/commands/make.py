"""`buildbook make`: the book of a vehicle as a PDF."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from buildbook.book.editions import EDITIONS
from buildbook.commands.telling import (
    EPILOG,
    errors_of,
    progress_line,
    say,
    vehicle_argument,
    worked_out,
)


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("output"),
    show_default=True, help="Folder for the book.",
)  # fmt: skip
@click.option("--edition", type=click.Choice(sorted(EDITIONS)), default="whole",
              show_default=True, help="Which part of the book to print: "
              + " ".join(f"{name}: {e.teaches}" for name, e in EDITIONS.items()))  # fmt: skip
def make(vehicle: Path, out: Path, edition: str) -> None:
    """Make the build book of VEHICLE as a PDF.

    Works out routes, lengths, sizes, fuses, voltages and faults, and writes OUT/NAME.pdf,
    or OUT/NAME-EDITION.pdf for a part of it.
    Nothing is written where the description has problems.
    """
    from buildbook.book.drawings import draw_all
    from buildbook.book.make import BookError, make_book
    from buildbook.export import file_name

    result = worked_out(vehicle)
    say("Drawing")
    drawings = draw_all(result)
    name = file_name(result.vehicle.description.vehicle.name).lower()
    chosen = EDITIONS[edition]
    target = out / f"{'-'.join(filter(None, (name, chosen.name)))}.pdf"
    try:
        made = make_book(result, drawings, target, progress_line, edition=chosen)
    except BookError as error:
        say(str(error))
        sys.exit(1)
    except OSError as error:
        say(f"{target}: cannot be written ({error.strerror}). Choose another folder with --out.")
        sys.exit(2)
    click.echo(str(made))
    errors = errors_of(result)
    if errors:
        say(f"The book was made with {len(errors)} findings at error level: see its findings.")
        sys.exit(1)

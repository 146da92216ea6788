"""`buildbook audit`: reads a printed book back and compares it with the vehicle."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.book.edition_list import HELPER_NAME
from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    refuse_unknown_harness,
    say,
    vehicle_argument,
    worked_out,
)
from buildbook.figures import counted

if TYPE_CHECKING:
    from buildbook.description.models import Description


@click.command(epilog=EPILOG)
@click.argument("book", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@vehicle_argument
@click.option(
    "--edition",
    type=click.Choice(["whole", HELPER_NAME, "order"]),
    default="whole",
    show_default=True,
    help="Which part of the book BOOK is.",
)
@click.option("--harness", default="", help="The harness of the helper's pack.")
def audit(book: Path, vehicle: Path, edition: str, harness: str) -> None:
    """Read the pages of BOOK, a PDF, and compare its tables with VEHICLE.

    Wires, cuts, labels, terminations, pins with their readings, fuses, loads and parts with their
    prices: a row that is missing, that the vehicle has not got, or that says something else is
    told with its page and line. Drawings and running text are not read.
    """
    from buildbook.audit.audit import audit as audited
    from buildbook.audit.audit import rows_of_edition
    from buildbook.audit.read_pages import Unreadable

    if (edition == HELPER_NAME) != bool(harness):
        raise Unclear(
            f"--edition {HELPER_NAME} and --harness go together",
            f"--edition {HELPER_NAME} --harness NAME",
            "a helper's pack holds one harness alone",
        )

    def when_read(description: Description) -> None:
        if harness:
            refuse_unknown_harness("--harness", harness, list(description.rope))

    result = worked_out(vehicle, when_read)
    say("Reading the pages")
    try:
        found = audited(book, result, edition, harness)
    except Unreadable as error:
        raise Unclear(f"{book} cannot be read as a PDF ({error})") from None
    for difference in found:
        place = f"page {difference.page}, line {difference.line}" if difference.page else "no page"
        click.echo(f"{place}: {difference.kind}: {difference.what}")
    rows = sum(map(len, rows_of_edition(result, edition, harness).values()))
    click.echo(f"{counted(rows, 'row')} compared, {counted(len(found), 'difference')}")
    sys.exit(1 if found else 0)

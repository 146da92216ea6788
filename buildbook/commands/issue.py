"""`buildbook issue`: freeze what a revision says, so that later books are held against it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    errors_of,
    issued_in,
    progress_line,
    say,
    show_problems,
    vehicle_argument,
    worked_out,
    write_or_say,
)
from buildbook.figures import counted

if TYPE_CHECKING:
    from buildbook.issued.model import Issued, Revision

WORKERS = 2


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--revision",
    required=True,
    help="The revision to issue: that of the vehicle, to make sure which it is.",
)
@click.option(
    "--replace",
    is_flag=True,
    help="Issue the last revision anew, in place of what was issued under its name.",
)
@click.option(
    "--no-cache", is_flag=True, help="Set every page anew, and keep nothing in the cache folder."
)
def issue(vehicle: Path, revision: str, replace: bool, no_cache: bool) -> None:
    """Issue a revision of VEHICLE: keep what its book says in revisions/NAME.yaml.

    Issue a revision when its book is printed and handed out. The file holds wires, splices, fuses
    and devices as they are, and a hash of each page. Then give the vehicle its next revision and
    date in vehicle.yaml and change what you like: `make` keeps the old revision at the foot of
    every page that is as it was, marks rows that are not with a bar, and tells the changes in
    words before the list of effective pages. `make --changed-since NAME` prints only the pages
    to swap in a binder.

    \b
        buildbook issue my-car --revision A
        buildbook make my-car --changed-since A
    """
    from buildbook.book.book_error import BookError
    from buildbook.issued.read import file_of
    from buildbook.issued.text import revision_text

    issued = issued_in(vehicle)
    refuse_other_revision(vehicle, revision)
    refuse_issued(issued, revision, replace)
    try:
        made, errors = issued_now(vehicle, issued, keep=not no_cache)
    except BookError as error:
        say(str(error))
        sys.exit(1)
    target = vehicle / file_of(revision)
    write_or_say(target, revision_text(made))
    pages = [page for chapter in made.chapters for page in chapter.pages]
    own = sum(page.revision == revision for page in pages)
    click.echo(f"{target}: {counted(len(pages), 'page')}, {own} of revision {revision}")
    if errors:
        say(f"It was issued with {errors} findings at error level: see its findings.")
        sys.exit(1)


def refuse_other_revision(vehicle: Path, revision: str) -> None:
    """Ends with 1, and what to write where, when the vehicle is at another revision."""
    from buildbook.description.read import read_folder
    from buildbook.problem import Problem

    contents, problems = read_folder(vehicle)
    if contents is not None and (there := contents.description.vehicle.revision) != revision:
        problems = [
            Problem(
                contents.positions.value("vehicle", "revision"),
                f"the vehicle is at revision {there}, and {revision} is to be issued",
                "every page would say another revision than the one that it is kept as",
                f"write `revision: {revision}` and its date under `vehicle`, or issue {there}",
            )
        ]
    if problems:
        show_problems(problems, vehicle)
        sys.exit(1)


def refuse_issued(issued: Issued, revision: str, replace: bool) -> None:
    """Raises Unclear for a revision that was issued already and is not to be replaced."""
    if revision not in issued.names:
        if not replace:
            return
        raise Unclear(
            f"--replace: revision {revision} was not issued yet",
            "leave --replace out",
            "another revision than the one meant would be kept",
        )
    if revision != issued.names[-1]:
        raise Unclear(
            f"revision {revision} was issued, and {issued.names[-1]} after it",
            "give the vehicle a revision that was not issued yet",
            "what was issued later was held against it, and would be told wrongly",
        )
    if not replace:
        raise Unclear(
            f"revision {revision} was issued already",
            "give the vehicle its next revision in vehicle.yaml; if no printed page of "
            f"{revision} was handed out, issue it anew with --replace",
            "who holds its pages could not tell them from new ones",
        )


def issued_now(vehicle: Path, issued: Issued, keep: bool) -> tuple[Revision, int]:
    """The vehicle's revision as it is issued, and its findings at error level."""
    from buildbook.book.drawings import Drawings
    from buildbook.book.issuing import revision_of
    from buildbook.book.make import set_book
    from buildbook.book.workers import workers_of
    from buildbook.issued.model import Issued

    with workers_of(WORKERS) as at_work:
        begun = {}
        result = worked_out(
            vehicle,
            when_sized=lambda sized: begun.update(at_work.draw(sized, keep)),
            begin_beside=at_work.begin,
            keep=keep,
        )
        own = result.vehicle.description.vehicle.revision
        before = Issued(tuple(one for one in issued.revisions if one.revision != own))
        drawings = Drawings(result, begun=begun)
        book = set_book(result, drawings, before, progress_line, at_work, keep)
        return revision_of(result, book.chapters, book.effective, before), len(errors_of(result))

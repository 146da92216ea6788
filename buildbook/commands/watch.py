"""`buildbook watch`: check a vehicle whenever a file of it is saved, and remake its book."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from buildbook.book.edition_list import EDITION_LINES, HELPER_NAME, PHONE_NAME
from buildbook.commands.print_messages import (
    EPILOG,
    out_option,
    refuse_unwritable,
    say,
    show_problems,
    vehicle_argument,
)
from buildbook.figures import counted

if TYPE_CHECKING:
    from buildbook.checks.stages import Checked
    from buildbook.commands.watch_page import Page

LOOK_S = 0.4
"""Between two looks at the files; two that are alike mean that whoever saves them is done."""
STOP_S = 10.0
"""That a book in the making is given to end by itself."""
MOST_LINES = 20
"""Changes that are told one by one."""


@click.command(epilog=EPILOG)
@vehicle_argument
@out_option
@click.option(
    "--edition",
    type=click.Choice(sorted({*EDITION_LINES} - {HELPER_NAME})),
    default="whole",
    show_default=True,
    help="Which part of the book is remade.",
)
@click.option("--no-book", is_flag=True, help="Only check; make no book.")
@click.option(
    "--serve",
    is_flag=True,
    help="Also show findings and book in a browser of this machine, kept up to date.",
)
@click.option(
    "--port",
    type=click.IntRange(1024, 65535),
    default=None,
    help="Port of that page.  [default: one that is free]",
)
def watch(
    vehicle: Path, out: Path, edition: str, no_book: bool, serve: bool, port: int | None
) -> None:
    """Check VEHICLE each time that a file of it is saved, and say what that changed.

    Tells which wires, splices, fuses and devices are otherwise than before, which findings are
    new and which are gone, and remakes the book in the background meanwhile; a file saved again
    before it is done begins it anew. A description with problems leaves the last book as it is.
    Ctrl-C ends it.
    """
    from buildbook.commands.watch_page import Page, served

    if not no_book:
        refuse_unwritable(out)
    page = Page(makes_book=not no_book)
    with closing(BookMaker(vehicle, out, edition)) as maker, served(page, port, serve) as address:
        if address:
            click.echo(f"findings and book: {address}")
        before: Checked | None = None
        with suppress(KeyboardInterrupt):
            for _ in saved(vehicle, maker, page):
                now = look(vehicle, before, page)
                if now is not None:
                    before = now
                    if not no_book:
                        maker.begin()
    say("Ended.")


def saved(vehicle: Path, maker: BookMaker, page: Page) -> Iterator[None]:
    """At once, and then each time that files were saved; tells of books that are done meanwhile."""
    seen: object = None
    last = stamp(vehicle)
    while True:
        now = stamp(vehicle)
        if now == last and now != seen:
            seen = now
            yield
        last = now
        made = maker.ended()
        if made is not None:
            page.book(made)
        time.sleep(LOOK_S)


def stamp(vehicle: Path) -> list[tuple[str, int, int]]:
    """What tells that a file of a vehicle was saved: its name, when, and how large it is."""
    from buildbook.book.kept_books import files_of

    found = []
    for path in files_of(vehicle):
        with suppress(FileNotFoundError):
            there = path.stat()
            found.append((str(path), there.st_mtime_ns, there.st_size))
    return found


def look(vehicle: Path, before: Checked | None, page: Page) -> Checked | None:
    """Check it and say what is otherwise; None where it has problems."""
    from buildbook.checks.model import count_by_severity
    from buildbook.checks.since import since
    from buildbook.commands.print_findings import counted_or_0, say_since
    from buildbook.pipeline import look_over
    from buildbook.sizing.changes import changes
    from buildbook.sizing.facts import facts_of

    checked, problems = look_over(vehicle, keep=True)
    click.echo(f"{time.strftime('%H:%M:%S')} ", nl=False)
    if checked is None:
        click.echo(counted(len(problems), "problem"))
        page.problems(problems)
        show_problems(problems, vehicle)
        return None
    page.findings(checked)
    total = count_by_severity(checked.findings)
    click.echo(", ".join(counted_or_0(n, severity) for severity, n in total.items()))
    if before is not None:
        units = checked.vehicle.measures
        lines = [units.words(line) for line in changes(facts_of(before), facts_of(checked))]
        for line in lines[:MOST_LINES]:
            click.echo(f"    {line}")
        if len(lines) > MOST_LINES:
            click.echo(f"    and more of wires, splices, fuses, devices: {len(lines) - MOST_LINES}")
        found = since(before, checked)
        if found.new or found.gone:
            say_since(found, "it was checked last", units=units)
        if not (lines or found.new or found.gone):
            click.echo("    no wire, splice, fuse, device or finding is otherwise")
    return checked


class BookMaker:
    """Makes the book in a process of its own, the last that was asked for."""

    def __init__(self, vehicle: Path, out: Path, edition: str) -> None:
        self._words = [str(vehicle), "--out", str(out), "--edition", edition]
        self._process: subprocess.Popen[str] | None = None
        self._said: TextIO | None = None

    def begin(self) -> None:
        """Begin the book anew; one that is still being made is given up."""
        self.close()
        self._said = tempfile.TemporaryFile("w+", encoding="utf-8")  # noqa: SIM115
        command = [sys.executable, "-m", "buildbook", "make", *self._words]
        self._process = subprocess.Popen(
            command, stdout=self._said, stderr=subprocess.STDOUT, text=True
        )

    def ended(self) -> Path | None:
        """The book that is done since it was asked for last; says so, or why there is none."""
        if self._process is None or self._process.poll() is None or self._said is None:
            return None
        self._said.seek(0)
        lines = self._said.read().splitlines()
        self._process, made = None, next((x for x in lines if _is_book(x)), "")
        if made:
            click.echo(f"{time.strftime('%H:%M:%S')} {made}")
            return Path(made)
        for line in lines:
            say(line)
        return None

    def close(self) -> None:
        """Give up a book that is being made."""
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()
            with suppress(subprocess.TimeoutExpired):
                self._process.wait(STOP_S)
            if self._process.poll() is None:
                self._process.kill()
                self._process.wait()
        self._process = None


def _is_book(line: str) -> bool:
    return line.endswith((".pdf", f"-{PHONE_NAME}.html")) and Path(line).is_file()

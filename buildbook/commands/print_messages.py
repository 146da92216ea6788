"""What all commands share: how they speak, show problems and end."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.program_error import doing
from buildbook.description.unseen import NOT_TEXT
from buildbook.figures import counted, squared
from buildbook.files.writing import write_file
from buildbook.problem import Problem
from buildbook.tasks import Begin, here

if TYPE_CHECKING:
    from buildbook.checks.model import Finding
    from buildbook.checks.stages import Checked
    from buildbook.description.models import Description
    from buildbook.drawing.shared.model import Drawing
    from buildbook.issued.model import Issued
    from buildbook.result import Priced, Result
    from buildbook.sizing.stage import Sized

EPILOG = (
    "Exit codes: 0 done, 1 problems in the description or findings at error level, 2 usage, "
    "3 the program failed."
)


class Unclear(click.UsageError):
    """What was asked cannot be meant so: what, why it matters, and a hint."""

    def __init__(self, what: str, hint: str = "", why: str = "") -> None:
        lines = [
            what,
            *([f"why it matters: {why}"] if why else []),
            *([f"hint: {hint}"] if hint else []),
        ]
        super().__init__(visible(squared("\n    ".join(lines))))


def visible(text: str) -> str:
    """Text for a terminal: what would steer it, or is not seen, as its code: `\\x1b`."""
    return NOT_TEXT.sub(lambda found: found[0].encode("unicode_escape").decode("ascii"), text)


def say(text: str) -> None:
    """Write to standard error, where progress and problems go."""
    click.echo(visible(text), err=True)


def progress_line(what: str, done: int, total: int) -> None:
    """Show one step of a long work."""
    doing.append(what)
    say(f"[{min(done + 1, total):>2}/{total}] {what}")


def lines_of_left_out(drawings: Iterable[Drawing]) -> list[str]:
    """What found no room on each drawing: it stands in the tables of the book all the same."""
    return [
        f"Drawing {drawing.name} has no room for: {'; '.join(drawing.left_out)}."
        for drawing in drawings
        if drawing.left_out
    ]


def say_left_out(drawings: Iterable[Drawing]) -> None:
    """Name what found no room on a drawing."""
    for line in lines_of_left_out(drawings):
        say(line)


def show_problems(problems: list[Problem], folder: Path | None = None) -> None:
    """Print every problem with its place, reason and hint; of a folder its line, with a caret."""
    for problem in problems:
        say(f"{problem.where}: {squared(problem.what)}")
        for line in _pointed_at(problem, folder) if folder is not None else ():
            say(f"    {line}")
        if problem.why:
            say(f"    why it matters: {squared(problem.why)}")
        if problem.hint:
            say(f"    hint: {squared(problem.hint)}")
    say(f"{counted(len(problems), 'problem')}; nothing was written.")


WIDEST = 96
"""Letters of a line that are shown; a longer one is shown around the place."""


def _pointed_at(problem: Problem, folder: Path) -> list[str]:
    """The line that a problem stands in, and a caret below its place; nothing without one."""
    where = problem.where
    path = folder / where.file
    if not path.is_file() or not path.resolve().is_relative_to(folder.resolve()):
        return []
    lines = path.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    if not 1 <= where.line <= len(lines) or not lines[where.line - 1].strip():
        return []
    line = "".join(c if c.isprintable() else " " for c in lines[where.line - 1])
    start = max(0, min(where.column - 1 - WIDEST // 2, len(line) - WIDEST))
    before, after = "… " if start else "", " …" if len(line) > start + WIDEST else ""
    shown = f"{before}{line[start : start + WIDEST]}{after}".rstrip()
    return [f"| {shown}", f"| {' ' * (len(before) + where.column - 1 - start)}^"]


def refuse_empty(words: Sequence[str]) -> None:
    """Raises Unclear for a word of a command that is empty, such as that behind an option.

    A shell gives one for a variable that is not set, and an option that names nothing would be
    passed over as if it were not there.
    """
    for before, word in pairwise(words):
        option, is_given, value = word.partition("=")
        if not word:
            option = before if before.startswith("--") else f"a word behind `{before}`"
        elif value or not (is_given and option.startswith("--")):
            continue
        raise Unclear(
            f"{option} is empty: it names nothing",
            f"name what is meant, or leave it out; `buildbook {words[0]} --help` tells what",
            "passed over, something else would be done than what was asked for",
        )


def refuse_unknown_harness(option: str, name: str, known: list[str]) -> None:
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
        f"{option} {name}: there is no harness `{name}`",
        hint,
        "there is nothing of it to make or to compare",
    )


def refuse_unmovable(out: Path) -> None:
    """Raises Unclear for a folder that cannot be put in place whole, as an export is."""
    kind = ""
    if out.is_symlink():
        kind = "a link"
    elif os.path.ismount(out):
        kind = "a disk of its own"
    elif out.resolve() == Path.cwd():
        kind = "the folder that you stand in"
    if kind:
        raise Unclear(
            f"--out {out} is {kind}",
            "name a folder that is not there yet, such as --out export",
            "what is made takes its place in one move, which cannot be done there",
        )
    refuse_unwritable(out.absolute().parent)


def write_or_say(target: Path, text: str) -> None:
    """Write a text file of the vehicle folder; where it cannot be, say so and end with 2."""
    try:
        write_file(target, text.encode("utf-8"))
    except OSError as error:
        say(f"{target}: cannot be written ({error.strerror}).")
        sys.exit(2)


def refuse_unwritable(out: Path) -> None:
    """Raises Unclear where nothing can be written in the folder `out`, there or yet to be made.

    The nearest folder that is there is tried with a file without a name, which leaves nothing.
    """
    nearest = next(folder for folder in (out, *out.absolute().parents) if folder.exists())
    try:
        with tempfile.TemporaryFile(dir=nearest):
            pass
    except OSError as error:
        raise Unclear(
            f"--out {out}: nothing can be written in {nearest} ({error.strerror})",
            "name a folder of your own, such as --out output",
            "what is made would be lost at the end of the work",
        ) from None


def worked_out(
    folder: Path,
    when_read: Callable[[Description], None] | None = None,
    when_sized: Callable[[Sized], None] | None = None,
    variant: str | None = None,
    begin_beside: Begin = here,
    keep: bool = True,
) -> Result:
    """The Result for `folder`; on problems prints them and ends with 1.

    `when_read` is shown the description as soon as it is read, to refuse what it has not got;
    `when_sized` the stage of the sizes, to begin with what follows from it; `begin_beside` is
    how some of the sums are worked out beside the rest; without `keep` the cache folder is let be.
    """
    from buildbook.pipeline import work_out

    result, problems = work_out(
        folder, progress_line, variant, when_read, when_sized, begin_beside, keep
    )
    if problems or result is None:
        show_problems(problems, folder)
        sys.exit(1)
    return result


def priced(folder: Path, variant: str | None) -> Priced:
    """The priced vehicle; on problems prints them and ends with 1."""
    from buildbook.pipeline import price_out

    found, problems = price_out(folder, progress_line, variant, keep=True)
    if found is None:
        show_problems(problems, folder)
        sys.exit(1)
    return found


def issued_in(folder: Path) -> Issued:
    """The revisions that were issued of a vehicle; on problems prints them and ends with 1."""
    from buildbook.issued.read import read_issued

    issued, problems = read_issued(folder)
    if problems:
        show_problems(problems, folder)
        sys.exit(1)
    return issued


def errors_of(checked: Checked) -> list[Finding]:
    """Findings at error level that are not waived."""
    return [f for f in checked.findings if f.severity == "error" and not f.waived]


vehicle_argument = click.argument(
    "vehicle", type=click.Path(exists=True, file_okay=False, path_type=Path)
)

out_option = click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("output"),
    show_default=True,
    help="Folder for the book.",
)

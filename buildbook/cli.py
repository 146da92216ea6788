"""The commands: make, check, export, new."""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from pathlib import Path

import click

from buildbook import __version__
from buildbook.problem import Problem

EPILOG = "Exit codes: 0 done, 1 problems in the description or findings at error level, 2 usage."


def say(text: str) -> None:
    """Write to standard error, where progress and problems go."""
    click.echo(text, err=True)


def progress_line(what: str, done: int, total: int) -> None:
    """Show one step of a long work."""
    say(f"[{min(done + 1, total):>2}/{total}] {what}")


def show_problems(problems: list[Problem]) -> None:
    """Print every problem with its place, reason and hint."""
    for problem in problems:
        say(f"{problem.where}: {problem.what}")
        if problem.why:
            say(f"    why it matters: {problem.why}")
        if problem.hint:
            say(f"    hint: {problem.hint}")
    say(f"{len(problems)} problem{'s' if len(problems) != 1 else ''}; nothing was written.")


def worked_out(folder: Path):
    """The Result for `folder`; on problems prints them and ends with 1."""
    from buildbook.pipeline import work_out

    result, problems = work_out(folder, progress_line)
    if problems or result is None:
        show_problems(problems)
        sys.exit(1)
    return result


def errors_of(result) -> list:
    """Findings at error level that are not waived."""
    return [f for f in result.findings if f.severity == "error" and not f.waived]


def say_findings(result) -> None:
    """Print findings, worst first, and a count."""
    order = {"error": 0, "warning": 1, "note": 2}
    for finding in sorted(result.findings, key=lambda f: (order[f.severity], f.rule, f.about)):
        mark = f"waived {finding.severity}" if finding.waived else finding.severity
        click.echo(f"{finding.where}: {mark}: {finding.text} [{finding.rule}]")
        click.echo(f"    remedy: {finding.remedy}")
        if finding.waived:
            click.echo(f"    waived because: {finding.waived}")
    count = {s: sum(f.severity == s and not f.waived for f in result.findings) for s in order}
    waived = sum(bool(f.waived) for f in result.findings)
    click.echo(
        f"{count['error']} errors, {count['warning']} warnings, {count['note']} notes, "
        f"{waived} waived"
    )


vehicle_argument = click.argument(
    "vehicle", type=click.Path(exists=True, file_okay=False, path_type=Path)
)


@click.group(epilog=EPILOG)
@click.version_option(__version__)
def main() -> None:
    """Turn one description of a vehicle's wiring into a printable build book.

    A vehicle is a folder of YAML and Markdown. Begin with a small one that works:

    \b
        buildbook new my-car
        buildbook make my-car
    """


@main.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("output"),
    show_default=True, help="Folder for the book.",
)  # fmt: skip
def make(vehicle: Path, out: Path) -> None:
    """Make the build book of VEHICLE as a PDF.

    Works out routes, lengths, sizes, fuses, voltages and faults, and writes OUT/NAME.pdf.
    Nothing is written where the description has problems.
    """
    from buildbook.book.drawings import draw_all
    from buildbook.book.make import BookError, make_book
    from buildbook.export import file_name

    result = worked_out(vehicle)
    say("Drawing")
    drawings = draw_all(result)
    target = out / f"{file_name(result.vehicle.description.vehicle.name).lower()}.pdf"
    try:
        made = make_book(result, drawings, target, progress_line)
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


@main.command(epilog=EPILOG)
@vehicle_argument
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text",
              show_default=True, help="How to print.")  # fmt: skip
def check(vehicle: Path, form: str) -> None:
    """Check VEHICLE and print what is found, without making the book."""
    from buildbook.pipeline import work_out

    result, problems = work_out(vehicle, progress_line)
    if form == "json":
        from buildbook.export import finding_rows

        click.echo(
            json.dumps(
                {
                    "problems": [
                        {"where": str(p.where), "what": p.what, "why": p.why, "hint": p.hint}
                        for p in problems
                    ],
                    "findings": finding_rows(result) if result else [],
                },
                indent=1,
                ensure_ascii=False,
            )
        )
    elif result is None:
        show_problems(problems)
    else:
        say_findings(result)
    sys.exit(1 if result is None or errors_of(result) else 0)


@main.command(epilog=EPILOG)
@vehicle_argument
@click.option("--out", required=True, type=click.Path(file_okay=False, path_type=Path),
              help="Folder for the files; it must be empty or not exist.")  # fmt: skip
def export(vehicle: Path, out: Path) -> None:
    """Write VEHICLE's results as JSON, CSV, SVG and circuit-simulator netlists."""
    from buildbook.book.drawings import draw_all
    from buildbook.export import export_files

    if out.exists() and any(out.iterdir()):
        raise click.UsageError(f"{out} is not empty; name a new folder with --out.")
    result = worked_out(vehicle)
    say("Drawing")
    files = export_files(result, draw_all(result).every())
    try:
        write_whole_folder(out, files)
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error.strerror}") from None
    click.echo(f"{len(files)} files in {out}")


def write_whole_folder(out: Path, files: dict[str, str]) -> None:
    """Write `files` under `out` in one move, so that it is never half there."""
    out.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out.parent) as temporary:
        whole = Path(temporary) / "export"
        for name, content in files.items():
            path = whole / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        if out.exists():
            out.rmdir()
        shutil.move(whole, out)


@main.command(epilog=EPILOG)
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Start a small vehicle in FOLDER that makes a book at once."""
    from buildbook.new import NotWritten, write_starter

    try:
        written = write_starter(folder)
    except NotWritten as reason:
        raise click.UsageError(str(reason)) from None
    for path in written:
        click.echo(str(path))
    click.echo(f"Next: buildbook make {folder}")


if __name__ == "__main__":
    main()

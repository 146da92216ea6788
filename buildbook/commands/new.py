"""`buildbook new`: a small vehicle to begin with."""

from __future__ import annotations

from pathlib import Path

import click

from buildbook.commands.print_messages import EPILOG


@click.command(epilog=EPILOG)
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Start a small vehicle in FOLDER that makes a book at once."""
    from buildbook.files.starter import NotWritten, write_starter

    try:
        written = write_starter(folder)
    except NotWritten as reason:
        raise click.UsageError(str(reason)) from None
    for path in written:
        click.echo(str(path))
    click.echo(f"Next: buildbook make {folder}")

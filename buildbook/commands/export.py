"""`buildbook export`: results and drawings as files."""

from __future__ import annotations

from pathlib import Path

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    refuse_unmovable,
    refuse_unwritable,
    say,
    say_left_out,
    vehicle_argument,
    worked_out,
)


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--out",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for the files; it must be empty or not exist.",
)
@click.option(
    "--variant",
    help="Export this variant; 'as written' for none. Without it the one that the vehicle names.",
)
def export(vehicle: Path, out: Path, variant: str | None) -> None:
    """Write VEHICLE's results as JSON, CSV, SVG and circuit-simulator netlists."""
    from buildbook.book.drawings import Drawings
    from buildbook.export.files import export_files
    from buildbook.files.writing import write_folder

    if out.exists() and any(out.iterdir()):
        raise Unclear(
            f"--out {out}: the folder is not empty",
            "name a new folder",
            "files that are not of this vehicle would stand among its own",
        )
    refuse_unmovable(out)
    refuse_unwritable(out)
    result = worked_out(vehicle, variant=variant)
    say("Drawing")
    drawings = Drawings(result).every()
    say_left_out(drawings)
    files = export_files(result, drawings)
    try:
        write_folder(out, files)
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error.strerror}") from None
    click.echo(f"{len(files)} files in {out}")

"""`buildbook measure`: type in what was read off the ropes, in the order of the printed sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    show_problems,
    vehicle_argument,
    write_or_say,
)

if TYPE_CHECKING:
    from buildbook.description.read import FolderContents
    from buildbook.description.rope_readings import RopeReading

STOP = ("q", "quit", "stop")


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option("--from", "first", type=int, default=1, help="Number on the sheet to begin at.")
def measure(vehicle: Path, first: int) -> None:
    """Ask for length, clamps and marks of every rope of VEHICLE and write them to its files.

    Print the sheet first: buildbook make VEHICLE --edition ropes. Lengths are in mm, in inches
    where `units: inch` stands under `vehicle`, or with a unit: 64 cm, 25.5 in, 25 1/2 in. Marks
    are what and where: grommet 120; bracket 40 cm. Enter keeps what is written; q stops, and what
    was typed by then stays. Only the value itself is changed in your file.
    """
    from buildbook.description.rope_readings import rope_readings

    contents = _read(vehicle)
    readings = rope_readings(contents.description)
    if not 1 <= first <= max(1, len(readings)):
        raise Unclear(f"--from {first}: the sheet has the numbers 1 to {len(readings)}")
    for number in range(first, len(readings) + 1):
        contents = _read(vehicle)
        reading = rope_readings(contents.description)[number - 1]
        if not _ask(vehicle, contents, reading):
            click.echo(f"Stopped. Go on with: buildbook measure {vehicle} --from {number}")
            return
    click.echo("That was the last. Next: buildbook check " + str(vehicle))


def _read(vehicle: Path) -> FolderContents:
    from buildbook.description.read import read_folder

    contents, problems = read_folder(vehicle)
    if contents is None:
        show_problems(problems, vehicle)
        raise click.exceptions.Exit(2)
    return contents


def _ask(vehicle: Path, contents: FolderContents, reading: RopeReading) -> bool:
    """One line of the sheet; False where the user stops."""
    where = f"{reading.number}. {reading.harness}: {reading.from_point} to {reading.to_point}"
    what = "the tape reads there" if reading.key == "reads" else "length"
    units = contents.description.vehicle.measures
    written = units.along(1000 * reading.written_m)
    length = _length(contents, reading, f"{where}, {what} [{written}]")
    if length is None:
        return False
    changes = {}
    if length > 0:
        changes[reading.key] = units.typed(length)
        if reading.known == "estimated":
            changes["known"] = "measured"
    clamps = _clamps(reading)
    if clamps is None:
        _write(vehicle, contents, reading, changes)
        return False
    if clamps != reading.clamps:
        changes["clamps"] = str(clamps)
    rope_m = (length or reading.written_m) - reading.after_m
    marks = _marks(vehicle, contents, reading, rope_m)
    if marks:
        changes["marked"] = marks
    _write(vehicle, contents, reading, changes)
    return marks is not None


def _length(contents: FolderContents, reading: RopeReading, question: str) -> float | None:
    """The length typed in m; 0 to keep what is written, None to stop."""
    from buildbook.description.rope_readings import doubts, read_length_m

    units = contents.description.vehicle.measures
    while True:
        answer = _typed(question)
        if answer.lower() in STOP:
            return None
        if not answer:
            return 0.0
        try:
            length = read_length_m(answer, units)
        except ValueError as reason:
            click.echo(f"   {reason}")
            continue
        why = doubts(reading, length - reading.after_m, contents.description.plan, units)
        if not why:
            return length
        click.echo(f"   {why}.")
        if length > reading.after_m and click.confirm("   Keep it?", default=False):
            return length


def _clamps(reading: RopeReading) -> int | None:
    """How many clamps, None to stop."""
    while True:
        answer = _typed(f"   clamps [{reading.clamps}]")
        if answer.lower() in STOP:
            return None
        if not answer:
            return reading.clamps
        if answer.isdigit():
            return int(answer)
        click.echo("   a whole number, such as 3")


def _marks(
    vehicle: Path, contents: FolderContents, reading: RopeReading, rope_m: float
) -> str | None:
    """What was marked, as it is written down; '' to keep what is, None to stop."""
    from buildbook.description.rope_readings import (
        marks_as_written,
        read_marks_m,
        stands_in_lines,
    )

    units = contents.description.vehicle.measures
    said = "; ".join(f"{what} {units.bare_m(at_m)}" for what, at_m in reading.marked.items())
    while True:
        question = f"   marks from {reading.from_point} [{said or 'none'}]"
        answer = _typed(question)
        if answer.lower() in STOP:
            return None
        if not answer:
            return ""
        place = contents.positions.value(*reading.path, reading.key)
        text = (vehicle / place.file).read_text(encoding="utf-8")
        if stands_in_lines(text, contents.positions, reading):
            click.echo(f"   they stand on lines of their own in {place.file}: change them there")
            return ""
        try:
            return marks_as_written(read_marks_m(answer, rope_m, units), units)
        except ValueError as reason:
            click.echo(f"   {reason}")


def _write(
    vehicle: Path, contents: FolderContents, reading: RopeReading, changes: dict[str, str]
) -> None:
    """Change the values in the file in which the rope stands, all or none."""
    from buildbook.description.rope_readings import with_values

    if changes:
        target = vehicle / contents.positions.value(*reading.path, reading.key).file
        text = target.read_text(encoding="utf-8")
        write_or_say(target, with_values(text, contents.positions, reading, changes))


def _typed(question: str) -> str:
    """What is typed; who ends the input or breaks off stops as with q."""
    try:
        return str(click.prompt(question, default="", show_default=False)).strip()
    except click.Abort:
        click.echo()
        return STOP[0]

"""`buildbook new`: a vehicle to begin with, from answers, or from a table of wires."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import Any

import click

from buildbook.begin.answers import (
    COMMON,
    EARTHED,
    MOST_CYLINDERS,
    PAPERS,
    SWITCHING,
    SYSTEMS,
    UNITS,
    VOLTS,
    Answers,
    refusal,
)
from buildbook.commands.print_messages import EPILOG, Unclear, show_problems, visible
from buildbook.words.catalogues import LANGUAGES

ALL_SYSTEMS = "\n    ".join(f"  {name:<10}  {what}" for name, what in SYSTEMS.items())


def _systems(_context: click.Context, _option: click.Parameter, said: str | None) -> Any:
    """The systems that an answer names: with commas or spaces between, `all` or `none`."""
    if said is None:
        return None
    words = said.lower().replace(",", " ").split()
    if words in (["all"], ["none"]):
        return tuple(SYSTEMS) if words == ["all"] else ()
    unknown = [word for word in words if word not in SYSTEMS]
    if unknown:
        from buildbook.description.suggest import did_you_mean

        hint = did_you_mean(unknown[0], list(SYSTEMS)) or f"there are {', '.join(SYSTEMS)}"
        raise click.BadParameter(f"there is no system `{unknown[0]}`; {hint}")
    return tuple(name for name in SYSTEMS if name in words)


def _currency(_context: click.Context, _option: click.Parameter, said: str | None) -> str | None:
    if said is not None and not (len(said) == 3 and said.isascii() and said.isalpha()):
        raise click.BadParameter("three letters, as in EUR or USD (ISO 4217)")
    return said.upper() if said else said


@click.command(
    epilog=EPILOG,
    help=f"""Write a vehicle to begin with into FOLDER; it makes a book at once.

    In a terminal it asks what the vehicle is to be like, one question at a time. With any of the
    flags below it asks nothing, and takes the rest as usual. Without either it writes the small
    starter: a pump and a lamp behind an isolator.

    What is a guess is marked TO DO in the files, and `buildbook check FOLDER` lists it.

    \b
    Systems, with commas between, or all, or none:
    {ALL_SYSTEMS}

    \b
        buildbook new my-car --cylinders 4 --systems charging,starting,ignition,pump,lights
        buildbook new old-bike --volts 6 --earthed positive --cylinders 1
        buildbook new my-car --from wires.csv
    """,
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--name", help="What it is called in the book. [default: from FOLDER]")
@click.option("--volts", type=click.Choice([str(v) for v in VOLTS]), help="Of its battery.")
@click.option("--earthed", type=click.Choice(EARTHED), help="Post of the battery on the body.")
@click.option("--cylinders", type=click.IntRange(1, MOST_CYLINDERS), help="Of its engine.")
@click.option("--systems", callback=_systems, help="What is in it; the list is above.")
@click.option("--units", type=click.Choice(UNITS), help="mm and mm², or inches and AWG.")
@click.option("--paper", type=click.Choice(PAPERS, case_sensitive=False), help="Of the book.")
@click.option("--language", type=click.Choice(LANGUAGES), help="Of the book's own words.")
@click.option("--currency", callback=_currency, help="Of prices: EUR, USD, …")
@click.option("--switching", type=click.Choice(SWITCHING), help="Relays, or a solid-state module.")
@click.option(
    "--from",
    "table",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Begin from a table of wires (CSV) instead.",
)
@click.option("--ask", is_flag=True, help="Ask, whatever the answers come from.")
@click.option("--small", is_flag=True, help="The small starter, without a question.")
def new(folder: Path, table: Path | None, ask: bool, small: bool, **flags: Any) -> None:
    """Write a vehicle to begin with into FOLDER."""
    from buildbook.files.starter import NotWritten, refuse_taken, write_new, write_starter

    said = {key: value for key, value in flags.items() if value is not None}
    if small and (said or ask or table):
        raise Unclear("--small goes with no other flag", "leave the others out")
    try:
        refuse_taken(folder)
        if table is not None:
            _from_table(folder, table, said)
            return
        asked = ask or (not said and not small and sys.stdin.isatty())
        if asked or said:
            answers = _asked(folder, said) if asked else _told(folder, said)
            from buildbook.begin.write_vehicle import files_of

            written = write_new(folder, files_of(answers, datetime.date.today()))
        else:
            written = write_starter(folder)
    except NotWritten as reason:
        raise click.UsageError(str(reason)) from None
    for path in written:
        click.echo(str(path))
    if asked or said:
        click.echo(f"Next: buildbook check {folder} lists what is to do; buildbook make {folder}")
    else:
        click.echo(f"Next: buildbook make {folder}")


def _told(folder: Path, said: dict[str, Any]) -> Answers:
    """What the flags say; the rest as usual. Raises Unclear where they do not go together."""
    volts = int(said.pop("volts", 12))
    usual = {"name": _name_of(folder), "systems": COMMON}
    answers = Answers(**{**usual, **said, "volts": volts})
    if no := refusal(answers):
        raise Unclear(*no)
    return answers


def _name_of(folder: Path) -> str:
    words = folder.absolute().name.replace("-", " ").replace("_", " ").strip()
    return (words[:1].upper() + words[1:])[:60] or Answers.name


def _asked(folder: Path, said: dict[str, Any]) -> Answers:
    """The answers that are typed in; flags give the defaults."""
    from buildbook.commands.ask import ask_all

    return ask_all(_told(folder, said))


def _from_table(folder: Path, table: Path, said: dict[str, Any]) -> None:
    """Write what a table of wires gives, and say what found no place."""
    from buildbook.begin.from_wires import network_of
    from buildbook.begin.wire_table import read_wires
    from buildbook.begin.write_wires import LEFT_FILE, files_of_wires
    from buildbook.figures import counted
    from buildbook.files.starter import write_new

    answers = _told(folder, said)
    wires, problems = read_wires(table)
    made = network_of(wires) if wires else None
    if made is None or not made.wires:
        show_problems(problems or (made.left if made else []), table.parent)
        raise click.exceptions.Exit(1)
    files = files_of_wires(made, answers, datetime.date.today(), table.name)
    for path in write_new(folder, files):
        click.echo(str(path))
    placed = len({id(wire.row) for wire in made.wires})
    click.echo(
        f"From {counted(placed, 'wire')} of {table.name}: {counted(len(made.devices), 'device')} "
        f"and {counted(len(made.circuits), 'circuit')}."
    )
    for left in sorted(made.left):
        click.echo(visible(f"{left.where}: {left.what}{f' ({left.hint})' if left.hint else ''}"))
    if made.left:
        held = folder / LEFT_FILE
        click.echo(f"{counted(len(made.left), 'thing')} found no place; {held} lists them too.")
    click.echo(f"Next: buildbook check {folder} lists what is to do")

"""The program: a list of commands, each read from its own module when it is called."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from importlib import import_module
from typing import Any

import click

from buildbook import __version__
from buildbook.commands.print_messages import EPILOG, Unclear, refuse_empty

COMMANDS = (
    "new",
    "show",
    "measure",
    "check",
    "watch",
    "price",
    "make",
    "issue",
    "export",
    "audit",
    "record",
    "diagnose",
    "calc",
    "reference",
    "explain",
    "forget",
)
"""In the order of a person's work; each is `buildbook/commands/NAME.py` with a function NAME."""

SELDOM = 100_000
"""New objects before unreachable rings are looked for: what a command works out it keeps to its
end, and looking for rings among it at Python's 700 takes a sixth of the time of `check`."""


def end_quietly() -> None:
    """Let Python's last flush go nowhere: where output cannot be written it would say so again."""
    try:
        sys.stdout.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class InOrder(click.Group):
    """A group that imports a command's module only when that command is wanted."""

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run a command; what the program does not expect ends in two lines, never a traceback."""
        try:
            return super().main(*args, **extra)
        except Exception as error:
            from buildbook.commands.program_error import EXIT_CODE, lines_of

            for line in lines_of(error):
                with suppress(OSError):
                    click.echo(line, err=True)
            end_quietly()
            sys.exit(EXIT_CODE)

    def list_commands(self, _context: click.Context) -> list[str]:
        return list(COMMANDS)

    def resolve_command(
        self, context: click.Context, words: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """A command with its words; one that is not there, and an empty word, are refused."""
        name = words[0]
        if name not in COMMANDS and not name.startswith("-"):
            from buildbook.description.suggest import did_you_mean

            raise Unclear(f"there is no command `{name}`", did_you_mean(name, COMMANDS))
        if name != "calc":  # amounts, each refused with what it may be
            refuse_empty(words)
        return super().resolve_command(context, words)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(f"buildbook.commands.{name}"), name)
        return command


@click.group(cls=InOrder, epilog=EPILOG)
@click.version_option(__version__)
def main() -> None:
    """Turn one description of a vehicle's wiring into a printable build book.

    A vehicle is a folder of YAML and Markdown. Begin with one that works; `new` asks what it is
    to be like, and marks what is a guess:

    \b
        buildbook new my-car
        buildbook check my-car
        buildbook make my-car
    """
    gc.set_threshold(SELDOM)


if __name__ == "__main__":
    main()

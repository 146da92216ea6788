"""`buildbook forget`: empties the folder in which work is kept."""

from __future__ import annotations

import click

from buildbook.commands.print_messages import EPILOG


@click.command(epilog=EPILOG)
def forget() -> None:
    """Empty the folder in which chapters, books and broken cars are kept.

    That is $XDG_CACHE_HOME/buildbook or ~/.cache/buildbook. What is made anew is the same to the
    byte, and takes longer.
    """
    from buildbook.figures import counted
    from buildbook.files import kept

    count = kept.forget()
    click.echo(f"{kept.cache_folder()}: {counted(count, 'file')} removed")

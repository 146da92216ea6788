"""`buildbook explain`: what one word of the description means."""

from __future__ import annotations

import click

from buildbook.commands.print_messages import Unclear

CODES = "Exit codes: 0 done, 2 there is no such word."


@click.command(epilog=CODES)
@click.argument("words", nargs=-1, required=True, metavar="KEY...")
def explain(words: tuple[str, ...]) -> None:
    """Tell what KEY takes, its unit, its default and an example, wherever it may stand.

    KEY is a key, a kind of device, or one of the lists: kinds, families, contacts, uses of pins,
    words for states. The keys that hold it may stand before it:

    \b
        buildbook explain drop
        buildbook explain devices draws inrush
        buildbook explain radiator fan
        buildbook explain kinds
    """
    from buildbook.description.suggest import did_you_mean
    from buildbook.reference.explained import explained, known

    name = " ".join(words)
    text = explained(words)
    if not text:
        raise Unclear(f"nothing in the description is called `{name}`", did_you_mean(name, known()))
    click.echo(text)

"""`buildbook reference`: what can be written and what comes out, as Markdown."""

from __future__ import annotations

import click

from buildbook.commands.print_messages import Unclear

CODES = "Exit codes: 0 done, 2 there is no such topic."


@click.command(epilog=CODES)
@click.argument("topic", required=False)
def reference(topic: str | None) -> None:
    """Print what can be written and what comes out, TOPIC by topic, as Markdown.

    Without a TOPIC it lists them. A section of the description is a topic too:

    \b
        buildbook reference
        buildbook reference devices
        buildbook reference rules | less
    """
    from buildbook.description.suggest import did_you_mean
    from buildbook.reference.topics import SECTIONS, TOPICS, section

    texts = {found.name: found.text for found in TOPICS}
    if topic is None:
        for found in TOPICS:
            click.echo(f"{found.name:<13}{found.teaches}")
        click.echo(f"{'a section:':<13}{', '.join(SECTIONS)}")
    elif topic in texts:
        click.echo(texts[topic]())
    elif topic in SECTIONS:
        click.echo(section(topic))
    else:
        raise Unclear(f"there is no topic `{topic}`", did_you_mean(topic, [*texts, *SECTIONS]))

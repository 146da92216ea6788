"""The questions of `buildbook new`, one at a time, each with its default and why it is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import click

from buildbook.begin.answers import (
    EARTHED,
    MOST_CYLINDERS,
    PAPERS,
    SWITCHING,
    SYSTEMS,
    UNITS,
    VOLTS,
    Answers,
    why_no_electronics,
)
from buildbook.commands.print_messages import visible


def ask_all(usual: Answers) -> Answers:
    """Ask for everything; Enter takes what `usual` says."""
    click.echo("Enter takes what stands in brackets. All of it can be changed later in the files.")
    name = _typed("What is it called?", "It stands on every page.", usual.name)
    volts = _chosen(
        "How many volts has its battery?",
        "Amps, wire and fuses follow from it.",
        [str(v) for v in VOLTS],
        str(usual.volts),
    )
    earthed = _chosen(
        "Which post of the battery is joined to the body?",
        "Fuses and switches go into the other side.",
        EARTHED,
        usual.earthed,
    )
    cylinders = click.prompt(
        _why("How many cylinders?", "So many coils and injectors are written."),
        default=usual.cylinders,
        type=click.IntRange(1, MOST_CYLINDERS),
    )
    systems = _systems(int(volts), earthed, usual)
    units = _chosen(
        "Metric, or inches and AWG?", "Lengths and wires are written so.", UNITS, usual.units
    )
    paper = _chosen(
        "Which paper?", "The pages of the book are laid out for it.", PAPERS, usual.paper
    )
    currency = _money(usual.currency)
    switching = usual.switching
    if not why_no_electronics(int(volts), earthed):
        switching = _chosen(
            "Relays, or a solid-state module?",
            "Pump, fan, beams, horn and wiper are switched by it.",
            SWITCHING,
            usual.switching,
        )
    return replace(
        usual,
        name=name,
        volts=int(volts),
        earthed=earthed,
        cylinders=cylinders,
        systems=systems,
        units=units,
        paper=paper,
        currency=currency,
        switching="relays" if why_no_electronics(int(volts), earthed) else switching,
    )


def _why(question: str, why: str) -> str:
    return visible(f"\n{question}\n  {why}\n ")


def _typed(question: str, why: str, usual: str) -> str:
    while True:
        answer: str = click.prompt(_why(question, why), default=visible(usual)).strip()
        if 0 < len(answer) <= 60 and answer.isprintable():
            return answer
        click.echo("  a name of 1 to 60 letters, in one line")


def _chosen(question: str, why: str, choices: Sequence[str], usual: str) -> str:
    kind = click.Choice(choices, case_sensitive=False)
    answer: str = click.prompt(_why(question, why), default=usual, type=kind)
    return answer


def _money(usual: str) -> str:
    while True:
        question = _why("In which currency are its prices?", "Sums are made in it.")
        answer: str = click.prompt(question, default=usual).strip().upper()
        if len(answer) == 3 and answer.isascii() and answer.isalpha():
            return answer
        click.echo("  three letters, as in EUR or USD")


def _systems(volts: int, earthed: str, usual: Answers) -> tuple[str, ...]:
    """Each system by itself, but for those that cannot be."""
    click.echo("\nWhat is in it?\n  Each brings its devices, fuses, wires and ropes.")
    found: list[str] = []
    for name, what in SYSTEMS.items():
        why = why_no_electronics(volts, earthed)
        if name == "injection" and why:
            click.echo(f"  no injection: {why}")
        elif name == "data" and "injection" not in found:
            click.echo("  no data bus: it is the engine controller that talks on it")
        elif click.confirm(f"  {name}: {what}", default=name in usual.systems):
            found.append(name)
    return tuple(found)

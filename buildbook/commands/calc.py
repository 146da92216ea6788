"""`buildbook calc`: the calculators on their own, with the working shown."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from itertools import takewhile
from typing import Any

import click

from buildbook.calculators.model import Calculator, Input, Mistake
from buildbook.calculators.reading import read_inputs
from buildbook.calculators.registry import CALCULATORS, calculator
from buildbook.commands.calculation_text import as_data, as_text, example_line, wrapped
from buildbook.commands.print_messages import say
from buildbook.description.suggest import did_you_mean

CODES = "Exit codes: 0 done, 2 something in the inputs is wrong."


class Calculators(click.Group):
    """A command for each calculator, made when it is wanted."""

    def list_commands(self, _context: click.Context) -> list[str]:
        return list(CALCULATORS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        return command(calculator(name)) if name in CALCULATORS else None

    def resolve_command(self, context: click.Context, args: list[str]) -> Any:
        if args[0] not in CALCULATORS and not args[0].startswith("-"):
            hint = did_you_mean(args[0], CALCULATORS)
            raise click.UsageError(f"there is no calculator '{args[0]}'; {hint}", context)
        return super().resolve_command(context, args)

    def format_commands(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Calculators, each with an example"):
            for name in CALCULATORS:
                found = calculator(name)
                formatter.write(f"  {name:<12}{found.teaches}\n{example_line(found)}\n\n")


class Calculation(click.Command):
    """A command whose values need no quotes: words after an option belong to it."""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        loose = list(takewhile(lambda word: not word.startswith("--"), args))
        if loose:
            raise click.UsageError(
                f"'{' '.join(loose)}' belongs to no option; see the example in --help", context
            )
        return super().parse_args(context, list(joined(args)))


def joined(words: Iterable[str]) -> Iterator[str]:
    """Join the words between one option and the next: `--current 20 A` becomes two words."""
    groups: list[list[str]] = []
    for word in words:
        if word.startswith("--") or not groups:
            groups.append([word])
        else:
            groups[-1].append(word)
    for first, *rest in groups:
        if "=" in first or not rest:
            yield " ".join((first, *rest))
        else:
            yield from (first, " ".join(rest))


def command(found: Calculator) -> click.Command:
    """The command of a calculator, with an option for each of its inputs."""

    def run(as_json: bool, **texts: str | None) -> None:
        given, mistakes = read_inputs(found, {n.replace("_", "-"): t for n, t in texts.items()})
        if not mistakes:
            result = found.work({g.input.name: g.value for g in given})
            if not isinstance(result, tuple):
                click.echo(
                    json.dumps(as_data(found, given, result), indent=1, ensure_ascii=False)
                    if as_json
                    else as_text(found, given, result)
                )
                return
            mistakes = result
        show_mistakes(found, mistakes, as_json)
        sys.exit(2)

    options: list[click.Parameter] = [_option(asked) for asked in found.inputs]
    options.append(
        click.Option(
            ["--json", "as_json"], is_flag=True, help="Print the working as JSON, in SI units."
        )
    )
    return Calculation(
        found.name,
        params=options,
        callback=run,
        short_help=found.teaches,
        epilog=CODES,
        help=f"{found.about}\n\nValues take any fitting unit; quotes are not needed.\n\n"
        f"\b\nExample:\n{example_line(found)}",
    )


def _option(asked: Input) -> click.Option:
    words = asked.help[0].upper() + asked.help[1:] + "."
    if asked.default:
        words += f"  [default: {asked.default}]"
    elif not asked.optional:
        words += "  [required]"
    return click.Option([f"--{asked.name}"], metavar=asked.reader.placeholder, help=words)


def show_mistakes(found: Calculator, mistakes: Iterable[Mistake], as_json: bool) -> None:
    """Say everything that is wrong with the inputs."""
    if as_json:
        rows = [{"input": m.about, "what": m.what, "why": m.why, "hint": m.hint} for m in mistakes]
        click.echo(
            json.dumps({"calculator": found.name, "problems": rows}, indent=1, ensure_ascii=False)
        )
        return
    for mistake in mistakes:
        say(wrapped(f"--{mistake.about}: {mistake.what}", "", "    "))
        if mistake.why:
            say(wrapped(f"why: {mistake.why}", "    ", "        "))
        if mistake.hint:
            say(wrapped(f"hint: {mistake.hint}", "    ", "        "))
    say(f"Nothing was worked out. See: buildbook calc {found.name} --help")


@click.group(cls=Calculators, invoke_without_command=True, epilog=CODES)
@click.pass_context
def calc(context: click.Context) -> None:
    """Work one thing out without a vehicle, with the working shown.

    Write values in the units you have: 20 A, 12 ft, 3.6 m, AWG 20, 0.5 mm2, 85 degC,
    185 degF. What you do not give is assumed and shown. `buildbook calc NAME --help`
    explains each input; --json prints the same for a program to read.

    The numbers are an aid. They do not replace a qualified person, the rules of the
    sanctioning body or the law where you are.
    """
    if context.invoked_subcommand is None:
        click.echo(context.get_help())

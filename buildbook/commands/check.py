"""`buildbook check`: findings without the book."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from buildbook.commands.print_messages import (
    EPILOG,
    errors_of,
    progress_line,
    show_problems,
    vehicle_argument,
)


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How to print.",
)
@click.option("--all", "everything", is_flag=True, help="Also what follows from another finding.")
@click.option("--rule", "rules", multiple=True, help="Only findings of this rule; may be repeated.")
@click.option(
    "--about",
    "abouts",
    multiple=True,
    help="Only findings about this device, pin, circuit, wire or run; may be repeated.",
)
def check(
    vehicle: Path,
    form: str,
    everything: bool,
    rules: tuple[str, ...],
    abouts: tuple[str, ...],
) -> None:
    """Check VEHICLE and print what is found, without making the book.

    Findings that go once another is mended are counted with it; --all prints them too, and so
    does asking for a rule or a thing by name. Places that a comment marks with TO DO are listed
    at the end.
    """
    from buildbook.commands.print_findings import chosen, say_findings, say_to_do
    from buildbook.description.to_do import to_do_of
    from buildbook.pipeline import look_over

    result, problems = look_over(vehicle, progress_line)
    to_do = to_do_of(vehicle) if result else ()
    if form == "json":
        from buildbook.export.findings import finding_rows

        click.echo(
            json.dumps(
                {
                    "problems": [
                        {"where": str(p.where), "what": p.what, "why": p.why, "hint": p.hint}
                        for p in problems
                    ],
                    "findings": finding_rows(result) if result else [],
                    "to do": [{"where": str(t.where), "what": t.what} for t in to_do],
                },
                indent=1,
                ensure_ascii=False,
            )
        )
    elif result is None:
        show_problems(problems, vehicle)
    else:
        found = chosen(result.findings, rules, abouts)
        say_findings(found, everything or bool(rules or abouts))
        if not (rules or abouts):
            say_to_do(to_do)
    sys.exit(1 if result is None or errors_of(result) else 0)

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
    say_findings,
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
def check(vehicle: Path, form: str) -> None:
    """Check VEHICLE and print what is found, without making the book."""
    from buildbook.pipeline import look_over

    result, problems = look_over(vehicle, progress_line)
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
                },
                indent=1,
                ensure_ascii=False,
            )
        )
    elif result is None:
        show_problems(problems, vehicle)
    else:
        say_findings(result)
    sys.exit(1 if result is None or errors_of(result) else 0)

"""`buildbook check`: findings without the book."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    errors_of,
    progress_line,
    say,
    show_problems,
    vehicle_argument,
)

if TYPE_CHECKING:
    from buildbook.checks.model import Finding
    from buildbook.checks.since import Since
    from buildbook.checks.stages import Checked
    from buildbook.description.to_do import ToDo
    from buildbook.problem import Problem


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
@click.option(
    "--all",
    "everything",
    is_flag=True,
    help="Also what follows from another finding; what is waived in full.",
)
@click.option("--rule", "rules", multiple=True, help="Only findings of this rule; may be repeated.")
@click.option(
    "--about",
    "abouts",
    multiple=True,
    help="Only findings about this device, pin, circuit, wire or run; may be repeated.",
)
@click.option(
    "--since",
    "earlier",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="Only what was not found in this earlier copy of the folder, and what is gone since.",
)
@click.option(
    "--variant",
    help="Check this variant; 'as written' for none. Without it the one that the vehicle names.",
)
def check(
    vehicle: Path,
    form: str,
    everything: bool,
    rules: tuple[str, ...],
    abouts: tuple[str, ...],
    earlier: Path | None,
    variant: str | None,
) -> None:
    """Check VEHICLE and print what is found, without making the book.

    Findings that go once another is mended are counted with it, and a waived one has a line;
    --all prints all of them in full, and so does asking for a rule or a thing by name. Places
    that a comment marks with TO DO are listed at the end, and rope that a variant's moves ask for
    and nobody has measured yet. The exit code is that of all findings,
    whichever are printed.
    """
    from buildbook.commands.print_findings import (
        chosen,
        runs_to_measure,
        say_findings,
        say_since,
        say_to_do,
        say_to_measure,
    )
    from buildbook.description.to_do import to_do_of
    from buildbook.pipeline import look_over

    refuse_unknown_rules(rules)
    if earlier is not None and earlier.samefile(vehicle):
        raise Unclear(
            f"--since {earlier} is the vehicle itself",
            "name a copy of the folder as it was before, from a backup or of another revision",
            "nothing can be new in it, or gone",
        )
    result, problems = look_over(vehicle, progress_line, variant, keep=True)
    compared = _compared(result, earlier, variant) if result and earlier else None
    if result:
        gone = compared.gone if compared else ()
        refuse_unknown_things(abouts, result, (*result.findings, *gone))
    if compared is not None:
        new, gone = (chosen(found, rules, abouts) for found in (compared.new, compared.gone))
        compared = replace(compared, new=new, gone=gone)
    found = chosen(result.findings, rules, abouts) if result else ()
    to_do = to_do_of(vehicle) if result and not (rules or abouts) else ()
    ropes = runs_to_measure(result) if result and not (rules or abouts) else []
    every = everything or bool(rules or abouts)
    if form == "json":
        data = _as_data(found, problems, (*to_do, *ropes), compared)
        click.echo(json.dumps(data, indent=1, ensure_ascii=False))
    elif result is None:
        show_problems(problems, vehicle)
    elif compared is not None:
        say_since(compared, str(earlier), every, result.vehicle.measures)
    else:
        say_findings(found, every, result.vehicle.measures)
        say_to_do(to_do)
        say_to_measure(ropes)
    sys.exit(1 if result is None or errors_of(result) else 0)


def refuse_unknown_rules(rules: Sequence[str]) -> None:
    """Raises Unclear for a rule that there is not: no finding of it would look like a good end."""
    from buildbook.checks.registry import RULES
    from buildbook.checks.waivers import UNUSED
    from buildbook.description.suggest import did_you_mean

    known = [*(rule.id for rule in RULES), UNUSED]
    for rule in rules:
        if rule not in known:
            close = did_you_mean(rule, known, ())
            raise Unclear(
                f"--rule {rule}: there is no rule of that name",
                f"{close} `buildbook reference rules` lists them".strip(),
                "that nothing is found would seem to be well",
            )


def refuse_unknown_things(
    abouts: Sequence[str], checked: Checked, findings: Sequence[Finding]
) -> None:
    """Raises Unclear for a thing that is neither in the vehicle nor in what is found of it."""
    from buildbook.checks.waivers import names_of
    from buildbook.description.suggest import did_you_mean

    found = {name for f in findings for name in (f.about, *f.also)}
    known = found | {name for about in found for name in names_of(checked, about)}
    known |= {name.partition(".")[0] for name in known}
    vehicle, harness, written = checked.vehicle, checked.harness, checked.vehicle.description
    known |= {*vehicle.devices, *vehicle.pins, *vehicle.circuits, *harness.wires, *harness.splices}
    known |= {*(run.id for run in vehicle.runs), *written.rope, *written.systems, *written.parts}
    known |= {*written.states, *written.zones, *written.plugs, *written.cables}
    for about in abouts:
        if about not in known:
            raise Unclear(
                f"--about {about}: nothing of that name is in the vehicle",
                did_you_mean(about, sorted(known), sorted(found)),
                "that nothing is found would seem to be well",
            )


def _compared(result: Checked, earlier: Path, variant: str | None) -> Since:
    """What is new and gone since an earlier copy; raises Unclear where that cannot be checked."""
    from buildbook.checks.since import since
    from buildbook.pipeline import look_over

    say(f"The same of {earlier}")
    before, problems = look_over(earlier, progress_line, variant, keep=True)
    if before is None:
        show_problems(problems, earlier)
        raise Unclear(
            f"--since {earlier}: its description has problems",
            "mend what is told above in it, or name an earlier copy without problems",
            "what was found there is not known, so nothing can be told apart",
        )
    return since(before, result)


def _as_data(
    found: Sequence[Finding],
    problems: Sequence[Problem],
    to_do: Sequence[ToDo],
    compared: Since | None,
) -> dict[str, Any]:
    from buildbook.export.findings import rows_of

    data: dict[str, Any] = {
        "problems": [
            {"where": str(p.where), "what": p.what, "why": p.why, "hint": p.hint} for p in problems
        ],
        "findings": rows_of(found),
        "to do": [{"where": str(t.where), "what": t.what} for t in to_do],
    }
    if compared is not None:
        data |= {"new": rows_of(compared.new), "gone": rows_of(compared.gone)}
    return data

"""How findings are printed: causes by the harm they do, what follows from each counted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import click

from buildbook.checks.causes import roots_and_counts
from buildbook.checks.harm import Harm, harm_of
from buildbook.checks.model import SEVERITIES, Finding, count_by_severity
from buildbook.commands.print_messages import visible
from buildbook.description.move.lay import to_measure
from buildbook.description.to_do import ToDo
from buildbook.figures import METRIC, Units, counted

if TYPE_CHECKING:
    from buildbook.checks.since import Since
    from buildbook.sizing.stage import Sized


TO_WAIVE = (
    "to accept one: its rule in [], what stands behind `about`, and your reason under `waivers`; "
    "`buildbook explain waivers` has an example"
)


def chosen(
    found: Iterable[Finding], rules: Sequence[str], abouts: Sequence[str]
) -> tuple[Finding, ...]:
    """Findings of the rules named, about the things named or a part of them; all where none is."""
    return tuple(
        f
        for f in found
        if (not rules or f.rule in rules)
        and (not abouts or any(_is_of(n, a) for n in (f.about, *f.also) for a in abouts))
    )


def _is_of(about: str, thing: str) -> bool:
    return about == thing or about.startswith(f"{thing}.")


def say_findings(found: Sequence[Finding], everything: bool = False, units: Units = METRIC) -> None:
    """Print findings, worst first, and counts; what follows from another where `everything`, and
    what is waived in full: its author has read it, and is told in a line that it is so still."""
    rows = roots_and_counts(found) if not everything else [(f, 0) for f in found]
    rows.sort(key=lambda row: _order(row[0]))
    for finding, count in rows:
        if finding.waived and not everything:
            _say_waived(finding)
        else:
            _say(finding, count, units)
    hidden = len(found) - len(rows)
    total = count_by_severity(finding for finding, _ in rows)
    waived = sum(bool(f.waived) for f in found)
    click.echo(f"{', '.join(counted_or_0(n, s) for s, n in total.items())}, {waived} waived")
    if hidden:
        click.echo(f"{counted(hidden, 'finding')} more that go with these: check --all shows them")
    kinds = Counter(harm_of(f.rule) for f, _ in rows if not f.waived)
    if kinds:
        click.echo("by kind: " + ", ".join(f"{kind} {n}" for kind, n in _by_harm(kinds)))
        click.echo(TO_WAIVE)


def say_since(
    compared: Since,
    earlier: str,
    everything: bool = False,
    units: Units = METRIC,
) -> None:
    """Print what is found since an earlier state, then what was found there and is gone.

    What follows from a finding that was there before stands by itself: that one is not printed.
    """
    new, gone = compared.new, compared.gone
    printed = {f.key for f in new}
    shown = [f for f in new if everything or f.follows is None or f.follows not in printed]
    for finding in sorted(shown, key=_order):
        _say(finding, 0, units)
    for finding in sorted(gone, key=_order):
        text = units.words(finding.text)
        click.echo(f"{finding.where}: gone: {finding.severity}: {text} [{finding.rule}]")
    hidden = len(new) - len(shown)
    click.echo(
        f"since {visible(earlier)}: {len(new)} new, {len(gone)} gone, "
        f"{compared.kept} that were there before"
    )
    if hidden:
        click.echo(f"{counted(hidden, 'new finding')} not printed: check --all shows what follows")


def say_to_do(found: Sequence[ToDo]) -> None:
    """Print the places that the author marked as still to be filled in; nothing without one."""
    if not found:
        return
    click.echo(f"{counted(len(found), 'place')} to fill in; take the comment out once it is done:")
    for place in found:
        click.echo(f"{place.where}: to do: {visible(place.what)}")


def runs_to_measure(sized: Sized) -> list[ToDo]:
    """Rope that a variant leads to where it moves something, and that nobody has measured yet."""
    positions = sized.vehicle.positions
    units = sized.vehicle.measures
    lengths = {(r.harness, r.from_point, r.to_point): r.length_m for r in sized.vehicle.runs}
    found = []
    for run in to_measure(positions.tree) if positions else ():
        length = units.typed(lengths[run.harness, run.from_, run.to])
        said = f"measure the rope of {run.harness} from {run.from_} to {run.to}"
        found.append(ToDo(run.where, f"{said}, {length} by the plan"))
    return found


def say_to_measure(found: Sequence[ToDo]) -> None:
    """Print the rope that is only estimated since a variant moves things; nothing without any."""
    if not found:
        return
    click.echo(
        f"{counted(len(found), 'run')} to measure for what the variant moves; say each as "
        "`measured` of the move:"
    )
    for run in found:
        click.echo(f"{run.where}: to do: {visible(run.what)}")


def counted_or_0(count: int, what: str) -> str:
    """'0 errors', '1 error'."""
    return f"{count} {what}" + ("" if count == 1 else "s")


def _order(finding: Finding) -> tuple[object, ...]:
    harm = harm_of(finding.rule)
    return (
        bool(finding.waived),
        SEVERITIES.index(finding.severity),
        harm.rank,
        finding.rule,
        finding.about,
    )


def _by_harm(kinds: Counter[Harm]) -> list[tuple[Harm, int]]:
    return sorted(kinds.items(), key=lambda row: row[0].rank)


def _say(finding: Finding, count: int, units: Units) -> None:
    mark = f"waived {finding.severity}" if finding.waived else finding.severity
    about = ", ".join((finding.about, *finding.also))
    is_named = _names(finding.text, finding.about)
    rule = f"[{finding.rule}]" + (f" about {about}" if is_named else "")
    click.echo(f"{finding.where}: {mark}: {units.words(finding.text)} {rule}")
    click.echo(f"    remedy: {units.words(finding.remedy)}")
    if not is_named:
        click.echo(f"    about: {about}")
    if finding.waived:
        click.echo(f"    waived because: {finding.waived}")
    if finding.follows:
        click.echo(f"    follows from: {' for '.join(finding.follows)}")
    if count:
        click.echo(
            f"    with it {'goes' if count == 1 else 'go'} {counted(count, 'other finding')}"
        )


def _say_waived(finding: Finding) -> None:
    told = f"{finding.rule}, {finding.about}: {finding.waived}"
    click.echo(f"{finding.where}: waived {finding.severity}: {told}")


def _names(text: str, thing: str) -> bool:
    """Whether a text holds a name whole."""
    return re.search(rf"(?<![\w.-]){re.escape(thing)}(?![\w-]|\.\w)", text) is not None

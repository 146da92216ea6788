"""What `buildbook diagnose` says: suspects, the next question, and the talk at a terminal."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from buildbook.book.fault_trees import reading_words, where_asked
from buildbook.faultfinding.answers import Answer, yes
from buildbook.faultfinding.diagnosis import answers_of
from buildbook.faultfinding.intermittent import wiggles

if TYPE_CHECKING:
    from buildbook.faultfinding.diagnosis import (
        Diagnosis,
        DriverReport,
        FaultTable,
        Suspect,
    )
    from buildbook.faultfinding.model import Step

LISTED = 12
"""Suspects and shared parts that are printed; the JSON has all."""
ALSO = 3
"""Further devices that are named beside a suspect."""


def place_of(node: str) -> str:
    """What --reading calls a node."""
    return node.removesuffix("~")


def tell(table: FaultTable, found: Diagnosis) -> None:
    """Print suspects, what they share, and the next question."""
    report = found.report
    click.echo(f"State: {report.state}.")
    for node in found.doubted:
        click.echo(
            f"The reading at {place_of(node)} fits no suspect, so nothing follows from it: measure "
            "it again, with the state as named and the battery charged."
        )
    if not found.suspects:
        click.echo(
            "No single fault does this. It may not be electrical, or two things at once: "
            "tell them one at a time."
        )
        return
    if not found.explained:
        click.echo(
            "No single fault explains all of it: two at once, or something that is not electrical?"
        )
        _tell_one_by_one(table, report)
        click.echo("Those that come closest alone:")
    if len(report.dead) > 1 and found.shared:
        parts = [fault.title for fault in found.shared]
        click.echo(f"Shared by {' and '.join(report.dead)}: {some(parts, LISTED)}.")
    click.echo(f"Suspects, likeliest first ({len(found.suspects)}):")
    alone = len(found.suspects) == 1
    for number, suspect in enumerate(found.suspects[:LISTED], 1):
        share = "" if alone else f"{suspect.share:4.0%}"
        click.echo(f"{number:>3}. {share}  {suspect.fault.title}{reason(suspect)}")
    if len(found.suspects) > LISTED:
        click.echo(f"     and {len(found.suspects) - LISTED} less likely ones")
    _tell_next(table, found)


def _tell_one_by_one(table: FaultTable, report: DriverReport) -> None:
    """What may be behind each thing that fails, were they two faults."""
    for name, found in _apart(table, report):
        titles = [suspect.fault.title for suspect in found.suspects]
        click.echo(f"    {name} alone: {some(titles, ALSO)}")


def _apart(table: FaultTable, report: DriverReport) -> list[tuple[str, Diagnosis]]:
    """Diagnoses of what fails one by one, where several things fail and one fault explains each."""
    from buildbook.faultfinding.diagnosis import one_by_one

    if len(report.dead) + len(report.weak) < 2:
        return []
    return [(name, found) for name, found in one_by_one(table, report) if found.explained]


def _tell_next(table: FaultTable, found: Diagnosis) -> None:
    step = found.next
    if step is None:
        click.echo(_ending(found))
        return
    better = "No fault fits what was read; better: " if found.doubted else "Next: "
    click.echo(f"{better}{question(table, step)}.")
    low, high = reading_words(step)
    for said, left in ((low, step.low), (high, step.high)):
        titles = [s.fault.title for s in found.suspects if s.fault.id in {*left}]
        about = "about " if step.by_meter else ""
        click.echo(f"    {about}{said}: {some(titles, ALSO)}")
    click.echo(f"Then ask again with {_option(step, found.report.state)}")


def _ending(found: Diagnosis) -> str:
    """What to do when nothing more can be asked: nobody has seen the part itself yet."""
    if found.doubted:
        return (
            "No fault fits what was read at "
            f"{', '.join(place_of(node) for node in found.doubted)}: before you change a part, "
            "measure there again, and at the battery's posts."
        )
    if len(found.suspects) == 1:
        return "One is left: look, pull and wriggle, battery isolated. If it is well, ask anew."
    return "No reading tells these apart: look, pull and wriggle, battery isolated."


def question(table: FaultTable, step: Step) -> str:
    """What to do, in words: where, how and in which state."""
    where, state = where_asked(table, step), step.state
    if "ohms" in step.what:
        return where
    if not step.by_meter:
        return f"{where} In state {state}" if where.endswith("?") else f"{where}, to state {state}"
    post = "plus (red lead there)" if table.vehicle.supply.earth == "positive" else "minus"
    return f"{where}, against the battery's {post}, in state {state}"


def _option(step: Step, state: str) -> str:
    """How the answer is told."""
    at = "" if step.state == state else f"@{step.state}"
    if step.what == "volts":
        return f"--reading {_quoted(f'{place_of(step.node)}=…V{at}')}"
    name = _quoted(f"{step.node}{at}")
    if step.what == "look":
        return f"--works {name} or --dead {name}"
    if step.what == "click":
        return f"--clicks {name} or --silent {name}"
    if step.what == "swap":
        return f"--swapped {name} where nothing is better"
    return f"--reading {_quoted(f'{place_of(step.node)}=…ohm{at}')}"


def converse(table: FaultTable, report: DriverReport) -> None:
    """Ask one question at a time, until none is left or an empty line ends it."""
    from buildbook.faultfinding.diagnosis import diagnose

    while True:
        found = diagnose(table, report)
        tell(table, found)
        step = found.next
        if step is None:
            return
        unit = "ohms" if "ohms" in step.what else "volts"
        wanted = f"{unit}, s to skip" if step.by_meter else "y or n, s to skip"
        said = click.prompt(f"{question(table, step)} ({wanted}; nothing ends)", default="")
        if not said.strip():
            return
        key = (step.node, step.state, step.what)
        value = _value(step, said)
        if value is None:
            if said.strip().lower() not in ("s", "skip"):
                click.echo(f"`{said}` is neither an answer nor s.")
                continue
            report = replace(report, skipped=(*report.skipped, key))
            continue
        answer = Answer(step.what, step.node, step.state, value)
        report = replace(report, answers=(*report.answers, answer))


def _value(step: Step, said: str) -> float | None:
    """What was typed as an answer; None for nothing that fits."""
    if not step.by_meter:
        return yes(said)
    bare = said.lower().rstrip("vΩ ").removesuffix("volts").removesuffix("ohms").strip()
    try:
        return float(bare.removesuffix("ohm").replace(",", "."))
    except ValueError:
        return None


def tell_wiggles(table: FaultTable, found: Diagnosis) -> None:
    """Where to wiggle, in order, for what comes and goes, and what to watch meanwhile."""
    spots = wiggles(table.vehicle, table.harness, [s.fault for s in found.suspects])
    click.echo("It comes and goes: engine off, key on, watch it while you wiggle, one at a time:")
    for number, spot in enumerate(spots[:LISTED], 1):
        why = f" ({', '.join(spot.why)})" if spot.why else ""
        click.echo(f"{number:>3}. {spot.where}{why}")
    if len(spots) > LISTED:
        click.echo(f"     and {len(spots) - LISTED} less likely places")


def _quoted(place: str) -> str:
    return f'"{place}"' if " " in place else place


def some(names: list[str], most: int) -> str:
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def reason(suspect: Suspect) -> str:
    """Why it is suspected, and what speaks against it: ' – blows F7; would also upset: horn'."""
    said = []
    if suspect.opened.blows:
        said.append(f"blows {', '.join(suspect.opened.blows)}")
    if suspect.opened.trips:
        said.append(f"trips {', '.join(suspect.opened.trips)}")
    if suspect.opened.burns:
        said.append("a cable smokes, and no fuse stops it")
    if suspect.missed:
        said.append(f"does not explain: {', '.join(suspect.missed)}")
    if suspect.also:
        said.append(f"would also upset: {some(list(suspect.also), ALSO)}")
    return f" – {'; '.join(said or ['does just this'])}"


def data(table: FaultTable, found: Diagnosis) -> dict[str, Any]:
    """The facts of `tell`, whole."""
    report = found.report
    return {
        "state": report.state,
        "told": {
            "dead": list(report.dead),
            "weak": list(report.weak),
            "works": list(report.works),
            "stuck_on": list(report.stuck_on),
            "reads_wrong": list(report.reads_wrong),
            "blows": list(report.blows),
            "trips": list(report.trips),
        },
        "readings": {place_of(a.node): a.value for a in answers_of(report)},
        "explained": found.explained,
        "one_by_one": {
            name: [suspect.fault.id for suspect in one.suspects]
            for name, one in ([] if found.explained else _apart(table, report))
        },
        "readings_that_fit_nobody": [place_of(node) for node in found.doubted],
        "shared": [fault.id for fault in found.shared],
        "suspects": [
            {
                "fault": suspect.fault.id,
                "what": suspect.fault.title,
                "share": round(suspect.share, 4),
                "blows": list(suspect.opened.blows),
                "trips": list(suspect.opened.trips),
                "burns": suspect.opened.burns,
                "does_not_explain": list(suspect.missed),
                "would_also_upset": list(suspect.also),
            }
            for suspect in found.suspects
        ],
        "next": _next_data(table, found.next),
    }


def _next_data(table: FaultTable, step: Step | None) -> dict[str, Any] | None:
    if step is None:
        return None
    low, high = (
        [round(end, 2) + 0.0 for end in side or (likeliest,) * 2]
        for side, likeliest in ((step.low_range, step.low_v), (step.high_range, step.high_v))
    )
    return {
        "measure": step.what,
        "place": place_of(step.node),
        "where": where_asked(table, step),
        "state": step.state,
        "readings": [
            {"volts": round(value, 2) + 0.0, "from": ends[0], "to": ends[1], "leaves": list(left)}
            for value, ends, left in (
                (step.low_v, low, step.low),
                (step.high_v, high, step.high),
            )
        ],
    }

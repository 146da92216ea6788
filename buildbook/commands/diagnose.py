"""`buildbook diagnose`: from what is dead and what the meter shows to the next measurement."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    progress_line,
    show_problems,
    vehicle_argument,
)

if TYPE_CHECKING:
    from buildbook.faultfinding.diagnosis import (
        Diagnosis,
        DriverReport,
        FaultTable,
        Measurement,
        Suspect,
    )

LISTED = 12
"""Suspects and shared parts that are printed; the JSON has all."""
ALSO = 3
"""Further devices that are named beside a suspect."""


@click.command(epilog=EPILOG)
@vehicle_argument
@click.option("--dead", multiple=True, metavar="NAME", help="A device or load that does nothing.")
@click.option("--weak", multiple=True, metavar="NAME", help="One that works, but poorly.")
@click.option("--works", multiple=True, metavar="NAME", help="One that works as it should.")
@click.option("--state", help="The operating state you look in; chosen where it is not given.")
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="PLACE=VOLTS",
    help="Volts at a place against the earthed battery post, in that state.",
)
@click.option("--variant", help="The variant that was built.")
@click.option(
    "--no-cache",
    is_flag=True,
    help="Break the car anew, and keep nothing of it in the cache folder.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the same as data.")
def diagnose(
    vehicle: Path,
    dead: tuple[str, ...],
    weak: tuple[str, ...],
    works: tuple[str, ...],
    state: str | None,
    readings: tuple[str, ...],
    variant: str | None,
    no_cache: bool,
    as_json: bool,
) -> None:
    """Find what is wrong with VEHICLE: suspects, likeliest first, and what to measure next.

    Say what is dead, what is weak and what still works, measure where it tells you to, and ask
    again with the reading until one suspect or a few alike are left:

    \b
        buildbook diagnose example_vehicle --dead horn-low --dead horn-high --works reverse-left
        buildbook diagnose example_vehicle --dead horn-low --dead horn-high --works reverse-left \\
            --reading K8.85=13.2V

    Two dead things are best told together: the parts that they share are named. Places are pins
    (K8.85), fuses (F9: its load side), halves of a bulkhead connector (X1.5/engine), splices.
    The broken car is kept in the cache folder ($XDG_CACHE_HOME/buildbook or ~/.cache/buildbook),
    so that the next question takes seconds; a description that changed is broken anew.
    CAUTION: circuits are live; fuel, fans and a cranking engine are near while you measure.
    """
    from buildbook.faultfinding.diagnosis import diagnose as judge
    from buildbook.pipeline import fault_table_of

    if not dead and not weak:
        raise Unclear(
            "tell at least one thing that is dead or weak",
            "buildbook diagnose my-car --dead fuel-pump --works horn",
        )
    table, problems = fault_table_of(vehicle, progress_line, variant, keep=not no_cache)
    if table is None:
        show_problems(problems)
        sys.exit(1)
    report = report_of(table, (dead, weak, works), state, readings)
    found = judge(table, report)
    if as_json:
        click.echo(json.dumps(data(table, found), indent=1, ensure_ascii=False))
    else:
        tell(table, found)


def report_of(
    table: FaultTable,
    named: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]],
    state: str | None,
    readings: tuple[str, ...],
) -> DriverReport:
    """What was told, checked; raises Unclear where it cannot be meant so."""
    from buildbook.faultfinding.diagnosis import DriverReport, best_state, loads_called, working_in

    dead, weak, works = (tuple(dict.fromkeys(names)) for names in named)
    options = [("--dead", dead), ("--weak", weak), ("--works", works)]
    for option, names in options:
        for name in names:
            _known(table, option, name)
    ways: dict[str, str] = {}
    for option, names in options:
        for load in dict.fromkeys(x for name in names for x in loads_called(table, name)):
            if ways.setdefault(load, option) != option:
                raise Unclear(
                    f"`{load}` is told to be {ways[load][2:]} and {option[2:]}",
                    "one thing does one thing in one state; leave one of them out",
                )
    everything = (*dead, *weak, *works)
    if state is None:
        state = best_state(table, everything)
        if state is None:
            raise Unclear(
                f"in no state do {', '.join(everything)} all work", "tell them one state at a time"
            )
    _known_state(table, state)
    for name in everything:
        if state not in (good := working_in(table, name)):
            raise Unclear(
                f"`{name}` does not work in state `{state}` even when all is well",
                f"it works in {', '.join(good) or 'none'}",
            )
    return DriverReport(state, dead, weak, works, dict(_reading(table, text) for text in readings))


def _known(table: FaultTable, option: str, name: str) -> None:
    from buildbook.description.suggest import did_you_mean

    if name in table.called:
        return
    device = table.vehicle.devices.get(name)
    if device is not None:
        raise Unclear(
            f"{option} {name}: nobody sees a {device.kind} work",
            "name what it feeds or switches; measure at it with --reading",
        )
    raise Unclear(
        f"{option} {name}: no device or load of that name", did_you_mean(name, table.called)
    )


def _known_state(table: FaultTable, state: str) -> None:
    from buildbook.description.suggest import did_you_mean

    if state not in table.vehicle.states:
        raise Unclear(
            f"--state {state}: no state of that name", did_you_mean(state, table.vehicle.states)
        )


def _reading(table: FaultTable, text: str) -> tuple[str, float]:
    """'K3.87=0.1V' as node and volts."""
    from buildbook.description.quantities import parse
    from buildbook.faultfinding.diagnosis import probes

    place, equals, volts = text.partition("=")
    if not equals:
        raise Unclear(f"--reading {text}: a reading is a place and volts", "--reading K3.87=0.1V")
    known = probes(table)
    if place not in known:
        raise Unclear(
            f"--reading {text}: no place to measure called `{place}`", _places_like(place, known)
        )
    try:
        return known[place], parse(f"{volts} V" if _bare(volts) else volts, "V")
    except ValueError as wrong:
        raise Unclear(f"--reading {text}: {wrong}", "--reading K3.87=0.1V") from wrong


def _places_like(place: str, known: Mapping[str, str]) -> str:
    """The place that was probably meant, and the places of the device that was named."""
    from buildbook.description.suggest import did_you_mean

    device = place.partition(".")[0].lower()
    own = sorted(name for name in known if name.partition(".")[0].lower() == device)
    close = did_you_mean(place, known)
    said = [close] if close.startswith("did you mean") or not own else []
    if own:
        said.append(f"places there: {_some(own, LISTED)}")
    return " ".join(said)


def _bare(text: str) -> bool:
    return text.strip().lstrip("+-").replace(".", "", 1).isdigit()


def place_of(node: str) -> str:
    """What --reading calls a node."""
    return node.removesuffix("~")


def tell(table: FaultTable, found: Diagnosis) -> None:
    """Print suspects, what they share, and the next measurement."""
    report = found.report
    click.echo(f"State: {report.state}.")
    for node in found.doubted:
        click.echo(
            f"The reading at {place_of(node)} fits no suspect: measure it again, with the "
            "state as named and the battery charged."
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
        click.echo(f"Shared by {' and '.join(report.dead)}: {_some(parts, LISTED)}.")
    click.echo(f"Suspects, likeliest first ({len(found.suspects)}):")
    for number, suspect in enumerate(found.suspects[:LISTED], 1):
        click.echo(f"{number:>3}. {suspect.share:4.0%}  {suspect.fault.title}{reason(suspect)}")
    if len(found.suspects) > LISTED:
        click.echo(f"     and {len(found.suspects) - LISTED} less likely ones")
    _tell_next(table, found)


def _tell_one_by_one(table: FaultTable, report: DriverReport) -> None:
    """What may be behind each thing that fails, were they two faults."""
    for name, found in _apart(table, report):
        titles = [suspect.fault.title for suspect in found.suspects]
        click.echo(f"    {name} alone: {_some(titles, ALSO)}")


def _apart(table: FaultTable, report: DriverReport) -> list[tuple[str, Diagnosis]]:
    """Diagnoses of what fails one by one, where several things fail and one fault explains each."""
    from buildbook.faultfinding.diagnosis import one_by_one

    if len(report.dead) + len(report.weak) < 2:
        return []
    return [(name, found) for name, found in one_by_one(table, report) if found.explained]


def _tell_next(table: FaultTable, found: Diagnosis) -> None:
    from buildbook.book.fault_wording import probe_place

    step = found.next
    if step is None:
        alike = "That is it" if len(found.suspects) == 1 else "No reading tells these apart"
        click.echo(f"{alike}: look, pull and wriggle, battery isolated.")
        return
    where, state = probe_place(table, step.node), found.report.state
    post = "plus (red lead there)" if table.vehicle.supply.earth == "positive" else "minus"
    click.echo(f"Next: {where}, against the battery's {post}, in state {state}.")
    for volts, left in ((step.low_v, step.low), (step.high_v, step.high)):
        titles = [s.fault.title for s in found.suspects if s.fault.id in {*left}]
        click.echo(f"    about {round(volts, 1) + 0.0:.1f} V: {_some(titles, ALSO)}")
    click.echo(f"Then ask again with --reading {_quoted(place_of(step.node))}=…V")


def _quoted(place: str) -> str:
    return f'"{place}"' if " " in place else place


def _some(names: list[str], most: int) -> str:
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def reason(suspect: Suspect) -> str:
    """Why it is suspected, and what speaks against it: ' – blows F7; would also upset: horn'."""
    said = []
    if suspect.blows:
        said.append(f"blows {', '.join(suspect.blows)}")
    if suspect.missed:
        said.append(f"does not explain: {', '.join(suspect.missed)}")
    if suspect.also:
        said.append(f"would also upset: {_some(list(suspect.also), ALSO)}")
    return f" – {'; '.join(said or ['does just this'])}"


def data(table: FaultTable, found: Diagnosis) -> dict[str, Any]:
    """The facts of `tell`, whole."""
    report = found.report
    return {
        "state": report.state,
        "told": {"dead": list(report.dead), "weak": list(report.weak), "works": list(report.works)},
        "readings": {place_of(n): v for n, v in (report.readings or {}).items()},
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
                "blows": list(suspect.blows),
                "does_not_explain": list(suspect.missed),
                "would_also_upset": list(suspect.also),
            }
            for suspect in found.suspects
        ],
        "next": _next_data(table, found.next),
    }


def _next_data(table: FaultTable, step: Measurement | None) -> dict[str, Any] | None:
    from buildbook.book.fault_wording import probe_place

    if step is None:
        return None
    return {
        "place": place_of(step.node),
        "where": probe_place(table, step.node),
        "readings": [
            {"volts": round(step.low_v, 2) + 0.0, "leaves": list(step.low)},
            {"volts": round(step.high_v, 2) + 0.0, "leaves": list(step.high)},
        ],
    }

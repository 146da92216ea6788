"""`buildbook diagnose`: from what is dead and what is found to the next question."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from buildbook.commands.print_messages import (
    EPILOG,
    Unclear,
    progress_line,
    show_problems,
    vehicle_argument,
)
from buildbook.commands.readings_told import (
    WithOwnReadings,
    measured,
    near_miss,
    places_like,
    refuse_malformed,
    uses_of,
    wrong_form,
)

if TYPE_CHECKING:
    from buildbook.faultfinding.answers import Answer
    from buildbook.faultfinding.diagnosis import DriverReport, FaultTable


FC = TypeVar("FC", bound=Callable[..., object])


@dataclass(frozen=True)
class Told:
    """What stood on the command line, each option's words."""

    says: str | None = None
    dead: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()
    works: tuple[str, ...] = ()
    stuck_on: tuple[str, ...] = ()
    reads_wrong: tuple[str, ...] = ()
    blows: tuple[str, ...] = ()
    trips: tuple[str, ...] = ()
    flickers: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    clicks: tuple[str, ...] = ()
    silent: tuple[str, ...] = ()
    swapped: tuple[str, ...] = ()

    @property
    def anything(self) -> bool:
        """Whether any trouble is told."""
        wrong = (self.dead, self.weak, self.stuck_on, self.reads_wrong, self.flickers)
        return self.says is not None or any((*wrong, self.blows, self.trips))


def names(option: str, text: str) -> Callable[[FC], FC]:
    """An option that takes a name and may be given again."""
    return click.option(option, multiple=True, metavar="NAME", help=text)


@click.command(epilog=EPILOG, cls=WithOwnReadings)
@vehicle_argument
@click.option("--says", metavar="WORDS", help="A symptom by its name, as `symptoms` or the book.")
@names("--dead", "A device or load that does nothing.")
@names("--weak", "One that works, but poorly.")
@names("--works", "One that works as it should.")
@names("--stuck-on", "One that works where it should not.")
@names("--reads-wrong", "A sensor or a display that shows what is not so.")
@names("--blows", "A fuse that opens again when renewed.")
@names("--trips", "An output that switches itself off again each time that it is switched on.")
@names("--flickers", "One that fails now and then: where to wiggle comes first.")
@click.option(
    "--state",
    help="The operating state you look in; else the first in which all that you named should work, "
    "the engine still where it can be.",
)
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="PLACE=VALUE",
    help="Volts at a place against the earthed battery post, horn.1=12.4V, in that state or one "
    "named behind an @, horn.feed=0V@idle; ohms from there to the body, battery off, all "
    "unplugged, horn.2=0.3ohm or =open; amps through a fuse, F4=2.1A. With VEHICLE before --help "
    "it shows some of yours.",
)
@names("--clicks", "A relay that is heard as the switches go to the state, or to one behind an @.")
@names("--silent", "A relay that is not.")
@names("--swapped", "A fuse or relay that was changed for a like one, and nothing was better.")
@click.option("--variant", help="The variant that was built.")
@click.option(
    "--no-cache",
    is_flag=True,
    help="Break the car anew, and keep nothing of it in the cache folder.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the same as data.")
def diagnose(
    vehicle: Path,
    state: str | None,
    variant: str | None,
    no_cache: bool,
    as_json: bool,
    **words: tuple[str, ...] | str | None,
) -> None:
    """Find what is wrong with VEHICLE: suspects, likeliest first, and what to ask next.

    Say what is dead, what is weak and what still works, look or measure where it tells you to,
    and ask again with the answer until one suspect or a few alike are left:

    \b
        buildbook diagnose example_vehicle --dead horn-low --dead horn-high --works reverse-left
        buildbook diagnose example_vehicle --dead horn-low --dead horn-high --works reverse-left \\
            --reading steering-wheel.1=0V@off

    At a terminal it asks one question after another itself. Two dead things are best told
    together: the parts that they share are named. A state behind an @ says that something was seen
    or heard in another one: --works "horn@off". Places are pins (K8.85, or by
    what they are for: horn.feed), fuses (F9: its load side), halves of a bulkhead connector
    (X1.5/engine), splices. The broken car is kept in the cache folder ($XDG_CACHE_HOME/buildbook
    or ~/.cache/buildbook), so that the next question takes seconds; a description that changed is
    broken anew.
    CAUTION: circuits are live; fuel, fans and a cranking engine are near while you measure.
    """
    from buildbook.commands.diagnosis_text import converse, data, tell, tell_wiggles
    from buildbook.faultfinding.diagnosis import diagnose as judge
    from buildbook.pipeline import fault_table_of

    told = Told(**words)  # type: ignore[arg-type]
    if not told.anything:
        raise Unclear(
            "tell at least one thing that is dead or weak",
            "buildbook diagnose my-car --dead fuel-pump --works horn",
        )
    refuse_malformed(vehicle, variant, told.readings, (*told.dead, *told.weak, *told.reads_wrong))
    table, problems = fault_table_of(vehicle, progress_line, variant, keep=not no_cache)
    if table is None:
        show_problems(problems, vehicle)
        sys.exit(1)
    report = report_of(table, told, state)
    if as_json:
        click.echo(json.dumps(data(table, judge(table, report)), indent=1, ensure_ascii=False))
        return
    if told.flickers:
        tell_wiggles(table, judge(table, report))
    if sys.stdin.isatty() and sys.stdout.isatty():
        converse(table, report)
    else:
        tell(table, judge(table, report))


def report_of(table: FaultTable, told: Told, state: str | None) -> DriverReport:
    """What was told, checked; raises Unclear where it cannot be meant so."""
    from buildbook.faultfinding.diagnosis import (
        DriverReport,
        loads_called,
        working_in,
    )
    from buildbook.faultfinding.state_to_look_in import best_state, state_that_shows

    options = [
        ("--dead", _once(_here(told.dead), told.flickers)),
        ("--weak", _once(told.weak)),
        ("--works", _once(_here(told.works))),
        ("--stuck-on", _once(told.stuck_on)),
        ("--reads-wrong", _once(told.reads_wrong)),
    ]
    if told.dead and not any((*(those for _, those in options), told.says, told.blows, told.trips)):
        raise Unclear(
            f"--dead {told.dead[0]}: what is wrong is told of one state for all",
            f'--dead {told.dead[0].partition("@")[0]} --state "{told.dead[0].partition("@")[2]}"',
            "a state behind an @ is for what is seen besides",
        )
    for option, those in (("--flickers", told.flickers), *options):
        for name in those:
            _known(table, option, name)
    for fuse in told.blows:
        _is_a(table, "--blows", fuse, ("fuse",))
    for output in told.trips:
        _trips(table, output)
    ways: dict[str, str] = {}
    for option, those in options:
        for load in dict.fromkeys(x for name in those for x in loads_called(table, name)):
            if ways.setdefault(load, option) != option:
                raise Unclear(
                    f"`{load}` is told to be {ways[load][2:]} and {option[2:]}",
                    "one thing does one thing in one state; leave one of them out",
                )
    dead, weak, works, stuck_on, reads_wrong = (those for _, those in options)
    everything = (*dead, *weak, *works, *reads_wrong)
    among, own_state = _said(table, told.says) if told.says is not None else ({}, None)
    if state is None and everything:
        state = best_state(table, everything)
        if state is None:
            raise Unclear(
                f"in no state do {', '.join(everything)} all work", "tell them one state at a time"
            )
    state = state or own_state or state_that_shows(table, stuck_on, (*told.blows, *told.trips))
    _known_state(table, "--state", state)
    for name in everything:
        if state not in (good := working_in(table, name)):
            raise Unclear(
                f"`{name}` does not work in state `{state}` even when all is well",
                f"it works in {', '.join(good) or 'none'}",
            )
    return DriverReport(
        state,
        dead,
        weak,
        works,
        stuck_on=stuck_on,
        reads_wrong=reads_wrong,
        blows=_once(told.blows),
        trips=_once(told.trips),
        answers=_answers(table, told, state),
        among=among,
    )


def _here(names_told: tuple[str, ...]) -> tuple[str, ...]:
    """Those that are told of the state of the report, not of another behind an @."""
    return tuple(name for name in names_told if "@" not in name)


def _once(*those: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for some_names in those for name in some_names))


def _said(table: FaultTable, words: str) -> tuple[dict[str, float], str | None]:
    """The faults that a symptom's name stands for, each with its likelihood, and a state."""
    from buildbook.commands.symptom_names import symptom_names
    from buildbook.description.suggest import did_you_mean

    called = symptom_names(table)
    known = {text.casefold(): likely for text, likely in called.items()}
    likely = known.get(words.casefold()) or {}
    if not likely:
        raise Unclear(f"--says {words}: no symptom of that name", did_you_mean(words, called))
    first = next(iter(likely))
    return likely, next((s.state for s in table.told[0] if first in s.suspects), None)


def _answers(table: FaultTable, told: Told, state: str) -> tuple[Answer, ...]:
    """Readings, clicks and swaps, and what was seen in other states, checked."""
    from buildbook.faultfinding.answers import Answer
    from buildbook.faultfinding.diagnosis import loads_called

    found = [_reading(table, text, state) for text in told.readings]
    for option, those, value in (("--clicks", told.clicks, 1.0), ("--silent", told.silent, 0.0)):
        for text in those:
            relay, there = _in_state(table, option, text, state)
            _is_a(table, option, relay, ("relay",))
            found.append(Answer("click", relay, there, value))
    for text in told.swapped:
        name, there = _in_state(table, "--swapped", text, state)
        _is_a(table, "--swapped", name, ("fuse", "relay"))
        found.append(Answer("swap", name, there, 0.0))
    for option, those, value in (("--works", told.works, 1.0), ("--dead", told.dead, 0.0)):
        for text in (text for text in those if "@" in text):
            name, there = _in_state(table, option, text, state)
            _known(table, option, name)
            well = [load for load in loads_called(table, name) if load in table.well[there]]
            if not well:
                raise Unclear(f"{option} {text}: it does not work there even when all is well")
            found += [Answer("look", load, there, value) for load in well]
    return tuple(found)


def _in_state(table: FaultTable, option: str, text: str, state: str) -> tuple[str, str]:
    """The name in 'K3' or in 'K3@ignition on', and the state that is meant."""
    name, at, other = text.partition("@")
    if at:
        _known_state(table, f"{option} {text}:", other.strip())
    return name.strip(), other.strip() or state


def _is_a(table: FaultTable, option: str, name: str, kinds: tuple[str, ...]) -> None:
    from buildbook.description.suggest import did_you_mean

    known = [d.id for d in table.vehicle.devices.values() if d.kind in kinds]
    if name not in known:
        what = " or ".join(kinds)
        hint = did_you_mean(name, known) or f"this vehicle has no {what}: leave it out"
        raise Unclear(f"{option} {name}: no {what} of that name", hint)


def _trips(table: FaultTable, name: str) -> None:
    from buildbook.description.suggest import did_you_mean
    from buildbook.sizing.openers import tripping

    known = list(tripping(table.vehicle))
    if name not in known:
        hint = did_you_mean(name, known) or "no output of this vehicle trips: leave it out"
        raise Unclear(f"--trips {name}: no output that trips", hint)


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


def _known_state(table: FaultTable, option: str, state: str) -> None:
    from buildbook.description.suggest import did_you_mean

    if state not in table.vehicle.states:
        raise Unclear(
            f"{option} {state}: no state of that name", did_you_mean(state, table.vehicle.states)
        )


def _reading(table: FaultTable, text: str, state: str) -> Answer:
    """'K3.87=0.1V', 'horn.feed=12.4V@ignition on', 'K3.87=0.2ohm', 'F4=0A'."""
    from buildbook.faultfinding.answers import Answer
    from buildbook.faultfinding.diagnosis import probes

    if said := wrong_form(text):
        raise Unclear(f"--reading {text}: {said}", near_miss(table.vehicle, text)[0])
    place, _, rest = text.partition("=")
    value_said, at, other = rest.partition("@")
    if at:
        _known_state(table, f"--reading {text}:", other.strip())
        state = other.strip()
    known = probes(table)
    place = place.strip()
    place = place if place in known else uses_of(table.vehicle).get(place, place)
    if place not in known:
        raise Unclear(
            f"--reading {text}: no place to measure called `{place}`",
            places_like(table.vehicle, place, known),
        )
    what, value = measured(value_said)
    if what != "amps":
        return Answer(what, known[place], state, value)
    fuse = place.partition(".")[0]
    _is_a(table, f"--reading {text}: amps are read through a fuse;", fuse, ("fuse",))
    return Answer(what, fuse, state, value)

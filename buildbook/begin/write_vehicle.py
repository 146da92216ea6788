"""The files of a first vehicle, from the answers of somebody who begins."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator

from buildbook.begin import body, engine, supply
from buildbook.begin.answers import SYSTEMS, Answers
from buildbook.begin.scaled_kinds import suited
from buildbook.begin.sheet import GROUNDS, POWER, ROPE, Sheet, of_the_book, quoted
from buildbook.begin.switched import module
from buildbook.description.as_yaml import flow
from buildbook.description.expand.kinds import built_in
from buildbook.description.yaml_reader import Node
from buildbook.problem import Where

SYSTEM_WRITERS: dict[str, Callable[[Sheet], None]] = {
    "charging": supply.charging,
    "starting": supply.starting,
    "injection": engine.injection,
    "ignition": engine.ignition,
    "pump": engine.pump,
    "fan": engine.fan,
    "lights": body.lights,
    "indicators": body.indicators,
    "horn": body.horn,
    "wiper": body.wiper,
    "data": body.data,
}
assert set(SYSTEM_WRITERS) == set(SYSTEMS)


def files_of(answers: Answers, date: datetime.date) -> dict[str, str]:
    """File name -> text of a folder that makes a book at once; `answers` go together."""
    sheet = _sheet_of(answers)
    if not any(", bus: I," in line for line in sheet.feeds):
        sheet = _sheet_of(answers, has_ignition=False)  # nothing hangs on it
    return {
        "vehicle.yaml": _lines(_vehicle(sheet, date)),
        "devices.yaml": _lines(_devices(sheet)),
        "rope.yaml": _lines(_rope(sheet)),
        "notes.md": NOTES,
    }


def _sheet_of(answers: Answers, has_ignition: bool = True) -> Sheet:
    """Everything written, system by system, in the order in which fuses are numbered."""
    sheet = Sheet(answers, has_ignition)
    sheet.states = _states(answers)
    supply.supply(sheet)
    for name, write in SYSTEM_WRITERS.items():
        if answers.has(name):
            write(sheet)
    module(sheet)
    engine.controller(sheet)
    for at, stud in sheet.grounds.items():
        sheet.kinds.setdefault("ground")
        contact = ", contact: ring-M8" if at in ("battery", "engine") else ""
        sheet.devices.append(
            f"  {stud}: {{kind: ground, name: {GROUNDS[at]}, at: {at}, system: supply{contact}}}"
        )
    if "engine" in sheet.grounds:
        strap = f"{sheet.grounds['engine']}, {sheet.grounds['battery']}"
        sheet.circuit("engine strap", "supply", strap, sheet.cable())
    return sheet


def _lines(lines: Iterator[str]) -> str:
    return "\n".join(lines) + "\n"


def _states(answers: Answers) -> dict[str, str]:
    """Name -> the rest of its entry; what is not run otherwise is driving by day."""
    found = {
        "off": "about: Ignition switched off",
        "ignition on": "about: 'Ignition on, engine standing', share: 2 %",
    }
    if answers.has("starting"):
        found["cranking"] = "about: Key turned to start, engine: 200 rpm, share: 0.2 %"
    found["idle"] = "about: Engine idling warm, engine: 900 rpm, share: 17.8 %"
    found["driving"] = ""
    rest = 80.0
    if answers.has("lights"):
        found["night"] = "about: 'Driving in the dark, main beam', engine: 3500 rpm, share: 10 %"
        rest -= 10
    if answers.has("lights", "horn", "indicators"):
        found["braking"] = (
            "about: 'Brake held, with whatever else a scrutineer asks for', engine: 1500 rpm, "
            "share: 5 %"
        )
        rest -= 5
    if answers.has("wiper"):
        found["raining"] = "about: Driving in the rain, engine: 3000 rpm, share: 10 %"
        rest -= 10
    found["driving"] = f"about: Driving by day, engine: 3500 rpm, share: {rest:g} %"
    return found


def _vehicle(sheet: Sheet, date: datetime.date) -> Iterator[str]:
    answers = sheet.answers
    yield "# The vehicle as a whole. Every value here is a guess to begin with: what is yours goes"
    yield "# there. `buildbook check .` lists what is marked TO DO; take the mark out once it"
    yield "# is done. `buildbook explain KEY` tells what a key means."
    yield ""
    yield "vehicle:"
    yield f"  name: {quoted(answers.name)}"
    yield "  about: A vehicle to begin with. # TO DO: what it is, in a sentence"
    yield from of_the_book(answers, date)
    drop, critical = (10, 10) if answers.volts == 6 else (7, 6)
    yield f"  drop: {drop} % # of its volts that a load may lose in its wires, there and back"
    yield f"  critical drop: {critical} % # and what stops the vehicle when it fails"
    family = "thin-wall-125" if answers.units == "metric" else "awg-automotive"
    yield f"  wire: {{family: {family}, smallest: {sheet.size('0.5 mm2')}}}"
    yield ""
    yield "# What gives current. The positive end of `between` comes first, whichever is earthed."
    yield "supply:"
    yield from sheet.supply
    yield ""
    yield "# What it does, one line for all that is different for its wires. Shares are of a day."
    yield "states:"
    for name, rest in sheet.states.items():
        yield f"  {quoted(name) if name == 'off' else name}: {{{rest}}}"
    yield ""
    yield "# Where wires go: the warmest air there decides what they carry."
    yield "zones:"
    used = {zone for *_, zone, _ in sheet.runs(ROPE) + sheet.runs(POWER)}
    for name, rest in ZONES.items():
        if name in used:
            yield f"  {name}: {{{rest}}}"
    yield ""
    yield "# The chapters of the book."
    yield "systems:"
    for name, title in sheet.systems.items():
        yield f"  {name}: {{title: {quoted(title)}}}"
    yield ""
    yield "notes:"
    yield "  - {file: notes.md, with: vehicle}"


ZONES = {
    "cabin": "about: Inside the shell, ambient: 50 degC",
    "engine bay": "about: Around the engine, ambient: 80 degC, wet: yes",
    "front": "about: Ahead of the radiator, ambient: 60 degC, wet: yes",
    "underfloor": "about: Under the floor, ambient: 55 degC, wet: yes, reach: under the car",
}


def _devices(sheet: Sheet) -> Iterator[str]:
    yield "# What is in it and what is joined. A kind knows what such a thing draws and what its"
    yield "# pins are for; what you write goes before it. `buildbook explain kinds` lists them, and"
    yield "# `buildbook show . NAME` prints all that one line stands for."
    yield ""
    yield "# Connectors, with their cavities as seen from the wire side."
    yield "plugs: # TO DO: the plugs that your parts came with"
    yield from sheet.plug_lines()
    yield ""
    answers = sheet.answers
    of_ours = [kind for kind in sheet.kinds if kind in built_in()]
    kinds = {kind: suited(kind, answers.volts, answers.is_positive) for kind in of_ours}
    kinds = {kind: told for kind, told in kinds.items() if told}
    if kinds:
        yield f"# What such things draw at {sheet.answers.volts} V" + (
            ", from the body to the feed: the plus is earthed."
            if sheet.answers.is_positive
            else "; the program's own kinds are those of 12 V."
        )
        yield "kinds:"
        for kind, told in kinds.items():
            yield f"  {kind}: {_flow(told)}"
        yield ""
    yield "# A line of feeds is a fuse, a relay where it names one, and their circuits. 86 and 85"
    yield "# are the relay's coil; `bus` is the stud of the panel that feeds the fuse."
    yield "feeds:"
    yield from sheet.feeds
    yield ""
    yield "devices: # TO DO: what your own parts draw: draws: {amps: 6 A, at: 13.5 V}"
    yield from sheet.devices
    yield ""
    yield "# All else that is joined: pins that share a potential, by number or by what they do."
    yield "circuits:"
    yield from sheet.circuits
    if sheet.cables:
        yield ""
        yield "# Wires that stay together."
        yield "cables:"
        yield from sheet.cables


def _flow(value: object) -> str:
    """A plain value in one line of YAML."""
    return flow(_node(value))


def _node(value: object) -> Node:
    if isinstance(value, dict):
        return Node({key: _node(child) for key, child in value.items()}, NOWHERE)
    return Node(value, NOWHERE)


NOWHERE = Where("")


def _rope(sheet: Sheet) -> Iterator[str]:
    yield "# The ropes, from point to point as they lie in the vehicle. Every length is a guess"
    yield "# until a rope was laid and read: `buildbook make . --edition ropes` prints a sheet for"
    yield "# that, and `buildbook measure .` asks for what was read. Add points where ropes part."
    yield "rope: # TO DO: lay ropes in the vehicle and measure them"
    for name, title, ropes in (
        ("main", "Main harness", ROPE),
        ("power", "Battery cables", POWER),
    ):
        yield f"  {name}:"
        yield f"    title: {title}"
        yield "    runs:"
        for start, end, mm, zone, clamps in sheet.runs(ropes):
            yield (
                f"      - {{from: {start}, to: {end}, length: {sheet.length(mm)}, zone: {zone}, "
                f"clamps: {clamps}, known: estimated}}"
            )


NOTES = """\
This description was begun by `buildbook new`. Its lengths, loads and plugs are guesses.

Isolate the battery before you work on the wiring, and keep sparks away from fuel.

- [ ] Lay ropes in the vehicle, measure them and type the lengths in.
- [ ] Write what your own parts draw, from their sheets.
- [ ] Name the plugs that they came with.
- [ ] Ask for prices: `buildbook price .` lists what is needed; they go into `parts.csv`.
"""

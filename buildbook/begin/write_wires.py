"""The files of a vehicle that was begun from a table of wires."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from buildbook.begin.answers import Answers
from buildbook.begin.cells import family_of
from buildbook.begin.from_wires import Found, Joined, Network, quoted
from buildbook.begin.sheet import INCH_MM, of_the_book
from buildbook.begin.sheet import quoted as in_quotes
from buildbook.problem import Problem

CONTACTS = {"ground": "ring-M6", "battery": "ring-M8"}
MIDDLE = "rope middle"
ADDED = "the-battery"
"""The battery of a table that names none: a description has one."""
LEFT_FILE = "not-placed.md"


def files_of_wires(
    made: Network, answers: Answers, date: datetime.date, table: str
) -> dict[str, str]:
    """File name -> text; `table` is the name of the file that it was read from."""
    return {
        "vehicle.yaml": _lines(_vehicle(made, answers, date, table)),
        "devices.yaml": _lines(_devices(made)),
        "rope.yaml": _lines(_rope(made, answers)),
        LEFT_FILE: _lines(_left(made.left, table)),
    }


def _lines(lines: Iterator[str]) -> str:
    return "\n".join(lines) + "\n"


def _vehicle(made: Network, answers: Answers, date: datetime.date, table: str) -> Iterator[str]:
    yield f"# Begun from {in_quotes(table)}. What is marked TO DO is a guess, or not in the table;"
    yield "# `buildbook check .` lists it. What found no place stands in not-placed.md."
    yield ""
    yield "vehicle:"
    yield f"  name: {in_quotes(answers.name)}"
    yield "  about: A vehicle begun from a table of its wires. # TO DO: what it is, in a sentence"
    yield from of_the_book(answers, date)
    smallest = "AWG 22" if made.family == "awg-automotive" else "0.35 mm2"
    yield f"  wire: {{family: {made.family}, smallest: {smallest}}}"
    yield ""
    battery = next((d for d in made.devices.values() if d.kind == "battery"), None)
    key = battery.key if battery else ADDED
    yield "supply:"
    yield "  batteries: # TO DO: as on its label"
    volts = f"{12.7 * answers.volts / 12:.3g} V"
    yield f"    {key}: {{between: [{key}.+, {key}.-], volts: {volts}, capacity: 45 Ah}}"
    yield ""
    yield "# TO DO: the states that your switches, loads and controllers are in"
    yield "states:"
    yield '  "off": {about: All switched off}'
    yield "  driving: {about: Driving by day, engine: 3000 rpm, share: 100 %}"
    yield ""
    yield "zones: # TO DO: where your ropes go"
    yield "  cabin: {about: Inside, ambient: 50 degC}"
    yield ""
    yield "systems:"
    yield "  wiring: {title: Wiring}"
    titles = {_system(c.system): c.system for c in made.circuits if c.system}
    for name, title in titles.items():
        yield f"  {quoted(name)}: {{title: {in_quotes(title[:60])}}}"
    yield ""
    yield "notes:"
    yield f"  - {{file: {LEFT_FILE}, with: vehicle}}"


def _system(name: str) -> str:
    plain = name.lower()[:50]
    return plain if plain not in ("", "wiring") else "wiring of the table"


def _devices(made: Network) -> Iterator[str]:
    yield "# Kinds are guessed by what things are called. `buildbook explain kinds` lists those"
    yield "# that know what such a thing draws, and from which volts it works."
    yield "devices: # TO DO: kinds, plugs, what loads draw and switches close"
    for device in made.devices.values():
        yield f"  {quoted(device.key)}: {_device(device)}"
    has_battery = any(device.kind == "battery" for device in made.devices.values())
    if not has_battery:
        yield f"  {ADDED}: {{kind: battery, name: Battery, contact: ring-M8}} # TO DO: join it"
    yield ""
    yield "circuits:"
    for circuit in made.circuits:
        yield f"  {quoted(circuit.name)}: {_circuit(circuit, made)}"
    if not has_battery:
        for post in "+-":
            rest = f"system: wiring, status: spare, capped at: {ADDED}"
            yield f'  the battery {post}: {{join: ["{ADDED}.{post}"], {rest}}}'


def _device(device: Found) -> str:
    told = [f"kind: {device.kind}", f"name: {in_quotes(device.title)}"]
    if device.kind not in ("fuse", "relay"):
        told.append(f"contact: {CONTACTS.get(device.kind, 'blade-6.3')}")
    if device.kind not in ("fuse", "relay", "ground", "battery"):
        pins = (f"{quoted(pin)}: {in_quotes(what[:60])}" for pin, what in device.pins.items())
        told.append(f"pins: {{{', '.join(pins)}}}")
    if device.at:
        told.append(f"at: {quoted(device.at)}")
    if device.rating:
        told.append(f"rating: {device.rating}")
    if device.draws:
        draws = ", ".join(device.draws)
        told.append(f"draws: {draws}" if len(device.draws) == 1 else f"draws: [{draws}]")
    return f"{{{', '.join(told)}}}"


def _circuit(circuit: Joined, made: Network) -> str:
    joined = ", ".join(in_quotes(f"{device}.{pin}") for device, pin in circuit.pins)
    told = [f"join: [{joined}]"]
    told.append(f"system: {quoted(_system(circuit.system)) if circuit.system else 'wiring'}")
    colours = [wire.colour for wire in circuit.wires if wire.colour]
    if colours:
        told.append(f"colour: {colours[0]}")
    sizes = {wire.size for wire in circuit.wires if wire.size}
    if len(sizes) == 1:
        size = next(iter(sizes))
        if family_of(size) != made.family:
            told.append(f"family: {family_of(size)}")
        told.append(f"size: {size}")
    elif sizes:
        each = {wire.ends[1]: wire.size for wire in circuit.wires if wire.size}
        wires = (f"{in_quotes(f'{d}.{p}')}: {{size: {size}}}" for (d, p), size in each.items())
        told.append(f"wires: {{{', '.join(wires)}}}")
    numbers = [w.row.text("number") for w in circuit.wires if w.row.text("number")]
    about = [w.row.text("about") for w in circuit.wires if w.row.text("about")]
    said = "; ".join(dict.fromkeys(about))
    if numbers:
        said = f"Wire {', '.join(dict.fromkeys(numbers))} of the table. {said}".strip()
    if said:
        told.append(f"about: {in_quotes(said[:2000])}")
    return f"{{{', '.join(told)}}}"


def _rope(made: Network, answers: Answers) -> Iterator[str]:
    yield "# A star from one middle to every device, as near to the lengths of the table as a star"
    yield "# comes. `buildbook make . --edition ropes` prints a sheet to measure with."
    yield "rope: # TO DO: the ropes as they lie in the vehicle, and their lengths"
    yield "  main:"
    yield "    title: Main harness"
    yield "    runs:"
    for name, length_m in made.branches_m.items():
        mm = 1000 * length_m
        length = f"{mm:.0f} mm" if answers.units == "metric" else f"{mm / INCH_MM:.1f} in"
        yield (
            f"      - {{from: {MIDDLE}, to: {quoted(name)}, length: {length}, zone: cabin, "
            "known: estimated}"
        )
    if not any(device.kind == "battery" for device in made.devices.values()):
        ends = f"from: {MIDDLE}, to: {ADDED}"
        yield f"      - {{{ends}, length: 500 mm, zone: cabin, known: estimated}}"


def _left(left: list[Problem], table: str) -> Iterator[str]:
    yield f"What of {table} found no place in this description, and why. Take out what is done."
    yield ""
    if not left:
        yield "All of it found its place."
    for problem in sorted(left):
        hint = f" ({problem.hint})" if problem.hint else ""
        yield f"- [ ] {problem.where}: {_plain(problem.what)}{_plain(hint)}"


def _plain(text: str) -> str:
    """Text of a table that Markdown takes as text."""
    return "".join(f"\\{c}" if c in "\\*_[]<>#|!" else c for c in text)

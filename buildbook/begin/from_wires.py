"""Makes devices, circuits and ropes of a table of wires, and keeps what could not be placed."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

import networkx as nx
import numpy as np
from scipy.optimize import nnls

from buildbook.begin import cells
from buildbook.begin.guessed_kinds import kind_of, pin_of
from buildbook.begin.wire_table import WireRow, WireTable
from buildbook.description.rope_readings import MEANT
from buildbook.problem import Problem

T = TypeVar("T")
End = tuple[str, str]
"""Device and pin."""
USUAL_M = 0.5
"""Of a branch whose wires have no length in the table."""
OFF_BY = 0.25
"""Share by which the ropes may miss a wire's length before it is told."""
BARE = ("switch", "controller", "fuse", "relay", "battery", "ground")
"""Kinds that draw nothing by themselves, or whose draw is not told by one wire."""


@dataclass
class Found:
    """A device of the table."""

    key: str
    title: str
    kind: str = "load"
    pins: dict[str, str] = field(default_factory=dict)
    """Pin -> what a wire at it is for."""
    at: str = ""
    """The device that it sits beside; '' where it has a point of its own."""
    rating: str = ""
    draws: list[str] = field(default_factory=list)


@dataclass
class Wire:
    """One row that could be placed."""

    row: WireRow
    ends: tuple[End, End]
    length_m: float | None = None
    size: str = ""
    colour: str = ""
    to_fuse: bool = False
    """It leads to the fuse that its row names; what the row says is said of the other wire."""


@dataclass
class Joined:
    """Pins that share a potential, and what the table says of their wires."""

    name: str
    system: str
    pins: list[End]
    wires: list[Wire]


@dataclass
class Network:
    """All that the table gives."""

    devices: dict[str, Found] = field(default_factory=dict)
    wires: list[Wire] = field(default_factory=list)
    circuits: list[Joined] = field(default_factory=list)
    branches_m: dict[str, float] = field(default_factory=dict)
    """Device -> length of its branch from the middle of the star."""
    family: str = cells.METRIC
    left: list[Problem] = field(default_factory=list)

    def leave(self, row: WireRow, column: str, why: str, hint: str = "") -> None:
        """Keep what a cell says, with why it was not placed."""
        text = row.text(column)
        said = f"`{text[:60]}`: {why}" if text else why
        self.left.append(Problem(row.at(column), said, "", hint))


def network_of(table: WireTable) -> Network:
    """What a table of wires describes; `left` is all of it that found no place."""
    made = Network(left=list(table.left))
    rows = [row for row in table.rows if _has_ends(row, made)]
    _devices(rows, made)
    fused: dict[str, str] = {}
    for row in rows:
        _wire(row, table.units, made, fused)
    _sizes(made)
    _circuits(made)
    _draws(made, table.units)
    _ropes(made)
    return made


def _has_ends(row: WireRow, made: Network) -> bool:
    for column in ("from", "to"):
        device, _ = _end(row, column)
        if not device:
            made.leave(row, column, f"this row has nothing under `{column}`: no wire", "fill it in")
            return False
        if not _key(device):
            made.leave(row, column, "no name of a device: no wire", "use letters or digits")
            return False
    if _ends_alike(row):
        made.leave(row, "to", "the wire ends where it begins: no wire", "name the other pin")
        return False
    return True


def _end(row: WireRow, column: str) -> End:
    return cells.end_of(row.text(column), row.text(f"{column} pin"))


def _ends_alike(row: WireRow) -> bool:
    (a, one), (b, other) = _end(row, "from"), _end(row, "to")
    return _key(a) == _key(b) and one.lower() == other.lower()


def _key(title: str) -> str:
    """The name of a device in the files: small letters, digits and dashes."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40]


def _pin(text: str) -> str:
    """A pin as it may be written behind a dot."""
    return re.sub(r"[^\w+/ -]+", "_", text).strip()[:40]


def _devices(rows: list[WireRow], made: Network) -> None:
    """Every device, with its kind by all pins that the table has of it."""
    pins: dict[str, list[str]] = {}
    for row in rows:
        for column in ("from", "to"):
            title, pin = _end(row, column)
            made.devices.setdefault(_key(title), Found(_key(title), title[:60]))
            pins.setdefault(_key(title), []).append(pin)
    for key, device in made.devices.items():
        device.kind = kind_of(device.title, pins[key])
    batteries = [d for d in made.devices.values() if d.kind == "battery"]
    for other in batteries[1:]:
        other.kind = "load"


def _wire(row: WireRow, units: dict[str, str], made: Network, fused: dict[str, str]) -> None:
    """The wire of a row, with a fuse between where it names one that is no device."""
    ends = (_node(row, "from", made), _node(row, "to", made))
    if ends[0] == ends[1]:
        made.leave(row, "to", "both ends are one pin of a ground, fuse or battery: no wire")
        return
    wire = Wire(row, ends)
    wire.length_m = _read(
        row, "length", made, lambda text: cells.length_m(text, units.get("length", ""))
    )
    wire.size = _read(row, "size", made, lambda text: cells.size(text, units.get("size", ""))) or ""
    wire.colour = _read(row, "colour", made, cells.colour) or ""
    for (device, pin), column in zip(ends, ("from", "to"), strict=True):
        made.devices[device].pins.setdefault(pin, row.text("what"))
        if not _end(row, column)[1] and made.devices[device].kind != "ground":
            hint = "write the pin, here and in devices.yaml"
            made.leave(row, column, f"no pin is named; it is written as pin `{pin}`", hint)
    fuse = _fuse(row, ends[0], made, fused) if row.text("fuse") else ""
    if fuse and (fuse, "in") not in ends and (fuse, "out") not in ends:
        before = Wire(row, (ends[0], (fuse, "in")), to_fuse=True)
        made.wires.append(before)
        wire.ends = ((fuse, "out"), ends[1])
    made.wires.append(wire)


def _node(row: WireRow, column: str, made: Network) -> End:
    title, pin = _end(row, column)
    device = made.devices[_key(title)]
    if device.kind == "ground":
        return device.key, "stud"
    if not pin and device.kind == "fuse":
        return device.key, "out" if column == "from" else "in"
    if not pin and device.kind == "battery":
        return device.key, "+"
    if not pin:
        mine = [p for p, what in device.pins.items() if what and what == row.text("what")]
        return device.key, mine[0] if mine else _free(device)
    return device.key, _pin(pin_of(device.kind, pin)) or _free(device)


def _free(device: Found) -> str:
    return next(str(n) for n in range(1, 10_000) if str(n) not in device.pins)


def _read(row: WireRow, column: str, made: Network, reader: Callable[[str], T]) -> T | None:
    """What a cell says; None, and kept as left, where it cannot be read."""
    if not row.text(column):
        return None
    try:
        return reader(row.text(column))
    except ValueError as reason:
        made.leave(row, column, str(reason).replace(f"`{row.text(column)}` is", "is"))
        return None


def _fuse(row: WireRow, before: End, made: Network, fused: dict[str, str]) -> str:
    """The fuse that a row names, by name or rating, made where it is no device yet; else ''."""
    text = row.text("fuse")
    named = re.match(r"(?i)\s*(f\w*\d+|fuse\s*\w+)\b", text)
    rest = text[named.end() :] if named else text
    rating = 0.0
    if re.search(r"\d", rest):
        try:
            rating = cells.amps(rest.strip(" ,;:()[]"), "A")
        except ValueError as reason:
            made.leave(row, "fuse", str(reason), "write a name or a rating: F3, or 10 A")
            return ""
    elif not named:
        made.leave(row, "fuse", "no fuse such as F3 or 10 A")
        return ""
    title = named[1] if named else ""
    key = _key(title) if title else fused.get(f"{before} {rating:g}", "")
    if key not in made.devices:
        title = title or f"F{_free_fuse(made)}"
        key = _key(title)
        made.devices[key] = Found(key, title, "fuse", {"in": "", "out": ""}, at=before[0])
        fused[f"{before} {rating:g}"] = key
    device = made.devices[key]
    if device.kind != "fuse":
        made.leave(row, "fuse", f"`{device.title}` is a {device.kind} elsewhere in the table")
        return ""
    if rating:
        device.rating = device.rating or f"{rating:g} A"
    return key


def _free_fuse(made: Network) -> int:
    return next(n for n in range(1, 10_000) if f"f{n}" not in made.devices)


def _sizes(made: Network) -> None:
    """The family of wire that most of the table is of."""
    families = [cells.family_of(wire.size) for wire in made.wires if wire.size]
    if families.count(cells.GAUGE) > families.count(cells.METRIC):
        made.family = cells.GAUGE


def _circuits(made: Network) -> None:
    """Wires that meet at a pin share a potential: one circuit of all their pins.

    On a stud or a post each has its own terminal, and stays by itself.
    """
    studs = {key for key, device in made.devices.items() if device.kind in ("ground", "battery")}
    net: nx.Graph[Any] = nx.Graph()
    for number, wire in enumerate(made.wires):
        for end in wire.ends:
            net.add_edge(number, (*end, number) if end[0] in studs else end)
    groups = [
        [made.wires[n] for n in sorted(node for node in part if isinstance(node, int))]
        for part in nx.connected_components(net)
    ]
    names: set[str] = set()
    for wires in groups:
        pins = list(dict.fromkeys(end for wire in wires for end in wire.ends))
        row = wires[0].row
        name = _unique(_circuit_name(wires), names)
        made.circuits.append(Joined(name, row.text("system"), pins, wires))
        for wire in wires[1:]:
            told = wire.row.text("what")
            if told and told != row.text("what"):
                why = f"it shares a pin with the wire of line {row.where.line}; both are `{name}`"
                made.leave(wire.row, "what", why)
        _one_of_each(wires, made)


def _one_of_each(wires: list[Wire], made: Network) -> None:
    """A circuit has one colour, and one family of wire: tell the rows that say another."""
    colours = [wire.colour for wire in wires if wire.colour]
    families = [cells.family_of(wire.size) for wire in wires if wire.size]
    for wire in wires:
        if wire.colour and wire.colour != colours[0]:
            made.leave(wire.row, "colour", f"the circuit that this wire is of has {colours[0]}")
        if wire.size and cells.family_of(wire.size) != families[0]:
            made.leave(wire.row, "size", "another wire of its circuit is of another family")
            wire.size = ""


def _circuit_name(wires: list[Wire]) -> str:
    row = wires[0].row
    told = row.text("what") or (f"wire {row.text('number')}" if row.text("number") else "")
    plain = re.sub(r"[<>*]+", " ", told)
    plain = re.sub(r"\s+", " ", plain).strip()
    return plain[:50] or " to ".join(f"{device} {pin}" for device, pin in wires[0].ends)[:50]


def _unique(name: str, taken: set[str]) -> str:
    found, number = name, 2
    while found.lower() in taken:
        found, number = f"{name} {number}", number + 1
    taken.add(found.lower())
    return found


def _draws(made: Network, units: dict[str, str]) -> None:
    """What a load draws: between the pin that a wire brings the amps to, and one on a ground."""
    grounded = {
        end
        for circuit in made.circuits
        if any(_is_ground(made, other) for other in circuit.pins)
        for end in circuit.pins
    }
    for wire in made.wires:
        row = wire.row
        if wire.to_fuse or not row.text("current"):
            continue
        drawn = _read(row, "current", made, lambda text: cells.amps(text, units.get("current", "")))
        if drawn is None:
            continue
        device, pin = wire.ends[1]
        found = made.devices[device]
        back = [p for p in found.pins if (device, p) in grounded and p != pin]
        if found.kind in BARE or (device, pin) in grounded:
            why = "no load is at the end of this wire"
            made.leave(row, "current", why, "write it under `draws` of what takes it")
        elif len(back) != 1:
            why = f"{'no pin' if not back else 'more than one pin'} of {found.title} is grounded"
            made.leave(row, "current", why, f"write it under `draws` of `{device}`")
        else:
            ends = f"from: {quoted(pin)}, to: {quoted(back[0])}"
            found.draws.append(f"{{{ends}, amps: {drawn:g} A, in: awake}}")


def _is_ground(made: Network, end: End) -> bool:
    return made.devices[end[0]].kind == "ground" or (
        made.devices[end[0]].kind == "battery" and end[1] == "-"
    )


def _ropes(made: Network) -> None:
    """A star with a branch to each device that comes nearest to the lengths of the table."""
    places = {key: _place(made, key) for key in made.devices}
    names = list(dict.fromkeys(places.values()))
    index = {name: n for n, name in enumerate(names)}
    rows, lengths = [], []
    for wire in made.wires:
        a, b = (places[device] for device, _ in wire.ends)
        if wire.length_m is not None and a != b:
            row = np.zeros(len(names))
            row[index[a]] = row[index[b]] = 1.0
            rows.append(row)
            lengths.append(wire.length_m)
    fitted = nnls(np.array(rows), np.array(lengths))[0] if rows else np.zeros(len(names))
    known = {n for row in rows for n in np.flatnonzero(row)}
    for name, n in index.items():
        length = max(float(fitted[n]), 0.05) if n in known else USUAL_M
        made.branches_m[name] = round(length, 2)
    for wire in made.wires:
        a, b = (places[device] for device, _ in wire.ends)
        if wire.length_m is None or (a == b and wire.ends[0][0] != wire.ends[1][0]):
            continue
        way = 0.0 if a == b else made.branches_m[a] + made.branches_m[b]
        if abs(way - wire.length_m) > OFF_BY * wire.length_m:
            why = f"the ropes of the star make {1000 * way:.0f} mm of it"
            made.leave(wire.row, "length", why, "measure the ropes, then it follows")


def _place(made: Network, key: str) -> str:
    """Point of the rope where a device is: its own, or that of the device beside it."""
    return made.devices[key].at or key


def quoted(text: str) -> str:
    """A name as YAML takes it: as it is where that is plain, else in quotes."""
    plain = re.fullmatch(r"[A-Za-z][\w -]*\w|[A-Za-z]", text)
    return text if plain and text.lower() not in MEANT else json.dumps(text, ensure_ascii=False)

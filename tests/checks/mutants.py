"""Makes vehicles with one thing otherwise, at random: pins, entries, numbers, places."""

from __future__ import annotations

import copy
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from buildbook.checks.meant import Meant
from buildbook.checks.standing import Bench
from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

Raw = dict[str, Any]
FACTORS = (10, 0.1, 100, 0.01, 1000, 0.001)
NUMBERS = ("amps", "watts", "ohms", "length", "resistance", "capacity", "volts", "limit", "joint")


@dataclass(frozen=True)
class Mutant:
    kind: str
    what: str
    names: tuple[str, ...]
    """What a message about it would name."""
    raw: Raw

    def written(self, folder: Path) -> Path:
        """The mutant as a vehicle folder."""
        folder.mkdir(parents=True)
        text = yaml.safe_dump(self.raw, sort_keys=False, allow_unicode=True)
        (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
        return folder


def raw_of(folder: Path) -> Raw:
    """All sections of a vehicle folder in one tree, as they are written."""
    raw: Raw = {}
    for path in sorted(folder.glob("*.yaml")):
        for section, entries in yaml.safe_load(path.read_text(encoding="utf-8")).items():
            known = raw.get(section)
            raw[section] = {**known, **entries} if isinstance(known, dict) else entries
    raw.pop("notes", None)  # their files stay behind
    return raw


def mutants(folder: Path, count: int, seed: int, scratch: Path) -> Iterator[Mutant]:
    """`count` mutants of a vehicle that change what it does, each kind in turn."""
    dice = random.Random(seed)
    raw = raw_of(folder)
    whole = done_by(Mutant("", "", (), raw).written(scratch / "whole"))
    makers = (_swapped, _dropped, _multiplied, _moved)
    made = tried = 0
    while made < count:
        tried += 1
        mutant = makers[made % len(makers)](copy.deepcopy(raw), dice)
        if mutant is None:
            continue
        changes = mutant.kind in ("number", "place")
        if not changes:
            changes = done_by(mutant.written(scratch / str(tried))) != whole
        if changes:
            made += 1
            yield mutant


def done_by(folder: Path) -> object:
    """What every load does in every state, and what is short; '' where it is refused."""
    contents, _ = read_folder(folder)
    vehicle = join(contents)[0] if contents else None
    if vehicle is None:
        return ""
    meant = Meant(Bench(vehicle))
    _, shorts, standings = meant.wrong(vehicle.states)
    loads = [load for d in vehicle.devices.values() for load in d.loads]
    return shorts, [(s, x.id) for s, at in standings.items() for x in loads if at.works(x)]


def _pins(raw: Raw) -> list[tuple[str, int]]:
    return [(c, i) for c, entry in raw["circuits"].items() for i in range(len(entry["join"]))]


def _swapped(raw: Raw, dice: random.Random) -> Mutant | None:
    """Two pins of circuits exchanged, half of the time two of one device."""
    places = _pins(raw)
    one = dice.choice(places)
    first = raw["circuits"][one[0]]["join"][one[1]]
    near = [
        place
        for place in places
        if place[0] != one[0]
        and str(raw["circuits"][place[0]]["join"][place[1]]).partition(".")[0]
        == str(first).partition(".")[0]
    ]
    other = dice.choice(near if near and dice.random() < 0.5 else places)
    second = raw["circuits"][other[0]]["join"][other[1]]
    if other[0] == one[0] or first == second:
        return None
    raw["circuits"][one[0]]["join"][one[1]] = second
    raw["circuits"][other[0]]["join"][other[1]] = first
    names = (str(first), str(second), one[0], other[0], *_devices(first, second))
    return Mutant("swap", f"{first} and {second} exchanged", names, raw)


def _dropped(raw: Raw, dice: random.Random) -> Mutant | None:
    """A pin left out of a circuit, or a circuit of two left out."""
    circuit, index = dice.choice(_pins(raw))
    join = raw["circuits"][circuit]["join"]
    gone = join.pop(index)
    if len(join) < 2:
        del raw["circuits"][circuit]
    names = (str(gone), circuit, *map(str, join), *_devices(gone, *join))
    return Mutant("drop", f"{gone} left out of '{circuit}'", names, raw)


def _numbers(node: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    items = (
        node.items()
        if isinstance(node, dict)
        else enumerate(node)
        if isinstance(node, list)
        else ()
    )
    for key, value in items:
        if key in NUMBERS and isinstance(value, str) and re.match(r"[\d.]+ ", value):
            yield (*path, key)
        yield from _numbers(value, (*path, key))


def _multiplied(raw: Raw, dice: random.Random) -> Mutant | None:
    """A number off by a factor."""
    path = dice.choice([p for p in _numbers(raw) if p[0] in ("devices", "supply", "rope")])
    node = raw
    for key in path[:-1]:
        node = node[key]
    number, unit = str(node[path[-1]]).split(" ", 1)
    factor = dice.choice(FACTORS)
    node[path[-1]] = f"{float(number) * factor:.6g} {unit}"
    names = [str(key) for key in path if isinstance(key, str)]
    if path[0] == "devices":
        names = [names[1], str(raw["devices"][names[1]].get("name"))]
    if path[0] == "rope":
        names = [f"{node['from']}-{node['to']}", str(node["to"]), f"from {node['from']}"]
    elif path[0] == "supply":
        names = [*names[1:-1], "battery"]
    return Mutant("number", f"{'.'.join(map(str, path))} times {factor}", tuple(names[-3:]), raw)


def _moved(raw: Raw, dice: random.Random) -> Mutant | None:
    """A device at another point of the rope."""
    placed = [name for name, d in raw["devices"].items() if d.get("at")]
    name = dice.choice(placed)
    others = sorted({d["at"] for d in raw["devices"].values() if d.get("at")})
    there = dice.choice(others)
    if there == raw["devices"][name]["at"]:
        return None
    raw["devices"][name]["at"] = there
    return Mutant("place", f"{name} at {there}", (name, str(raw["devices"][name].get("name"))), raw)


def _devices(*pins: Any) -> tuple[str, ...]:
    return tuple(str(pin).partition(".")[0] for pin in pins)

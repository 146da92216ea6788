"""The supply's pins and the operating states, checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from math import fsum

from buildbook.description import models as written
from buildbook.vehicle.model import Device, Pin
from buildbook.vehicle.power import batteries_of
from buildbook.vehicle.scope import Path, Scope

Entry = written.Battery | written.Generator | written.Magneto | written.Converter
SECTION_OF = {
    "battery": "batteries",
    "alternator": "alternators",
    "dynamo": "dynamos",
    "magneto": "magnetos",
    "converter": "converters",
}
"""Where sources of a kind stand by name; also the kinds of devices that are sources."""


def entries(said: written.Supply) -> Iterator[tuple[str, str, Path, Entry]]:
    """(kind, name, path, entry) of every source, those of the simple form first."""
    if said.battery:
        yield "battery", "battery", ("supply", "battery"), said.battery
    if said.alternator:
        yield "alternator", "alternator", ("supply", "alternator"), said.alternator
    for kind, section in SECTION_OF.items():
        for name, entry in getattr(said, section).items():
            yield kind, name, ("supply", section, name), entry


def joined_supply(scope: Scope, pins: dict[str, Pin]) -> written.Supply:
    """The supply with pin ids wherever it names pins; what makes no sense is noted."""
    supply = scope.description.supply
    seen: set[str] = set()
    looked_up: dict[str, dict[str, Entry]] = {}
    simple: dict[str, Entry] = {}
    for kind, name, path, entry in entries(supply):
        if name in seen:
            scope.say(path, f"two sources are called `{name}`", "", "give one another name")
        seen.add(name)
        _check_entry(scope, name, path, entry)
        joined = _joined(scope, path, entry, pins)
        if path[-1] == name and len(path) == 2:
            simple[name] = joined
        else:
            looked_up.setdefault(SECTION_OF[kind], {})[name] = joined
    if not batteries_of(supply):
        scope.say(
            ("supply",),
            "there is no battery",
            "volts are told against a post of it",
            "add `battery`, or several under `batteries`",
        )
    return supply.model_copy(update={**simple, **looked_up})


def _joined(scope: Scope, path: Path, entry: Entry, pins: dict[str, Pin]) -> Entry:
    changed: dict[str, object] = {
        "between": _pair(scope, (*path, "between"), entry.between, path[-1], pins)
    }
    if isinstance(entry, written.Generator):
        for key, name in (("senses", entry.senses), ("excited_at", entry.excited_at)):
            if name is not None:
                found = scope.pin((*path, key.replace("_", " ")), name, pins)
                changed[key] = found.id if found else name
    if isinstance(entry, written.Converter):
        changed["from_"] = _pair(scope, (*path, "from"), entry.from_, path[-1], pins)
    if isinstance(entry, written.Dynamo):
        way = (*path, "cut out", "between")
        between = _pair(scope, way, entry.cut_out.between, "cut-out", pins)
        changed["cut_out"] = entry.cut_out.model_copy(update={"between": between})
    return entry.model_copy(update=changed)


def _pair(
    scope: Scope, path: Path, given: tuple[str, str], name: str | int, pins: dict[str, Pin]
) -> tuple[str, str]:
    found = [scope.pin((*path, index), text, pins) for index, text in enumerate(given)]
    if found[0] is not None and found[0] == found[1]:
        scope.say(path, f"the {name} is between `{given[0]}` and itself", "", "name two pins")
    one, other = (pin.id if pin else text for pin, text in zip(found, given, strict=True))
    return one, other


def _check_entry(scope: Scope, name: str, path: Path, entry: Entry) -> None:
    if isinstance(entry, written.Generator):
        _check_curve(scope, name, path, entry)
    if isinstance(entry, written.Dynamo) and entry.cut_out.closes_at >= entry.volts:
        scope.say(
            (*path, "cut out", "closes at"),
            f"the cut-out of `{name}` closes at {entry.cut_out.closes_at:g} V, and its regulator "
            f"holds it at {entry.volts:g} V",
            "it would never close",
            "correct `closes at` or `volts`: a cut-out closes a little above the battery's volts",
        )
    _check_charges(scope, name, path, entry)


def _check_charges(scope: Scope, name: str, path: Path, entry: Entry) -> None:
    """A generator beside a single battery gives more volts than it."""
    batteries = batteries_of(scope.description.supply)
    if not isinstance(entry, written.Generator) or len(batteries) != 1:
        return
    battery = next(iter(batteries.values()))
    if entry.volts <= battery.volts:
        scope.say(
            (*path, "volts"),
            f"the {name} gives {entry.volts:g} V, not more than the battery's {battery.volts:g} V",
            "it could never charge",
            f"correct `volts` of the {name}, its regulator's, or those of the battery",
        )


def _check_curve(scope: Scope, name: str, at: Path, generator: written.Generator) -> None:
    path = (*at, "curve")
    if not generator.curve:
        scope.say(path, f"the {name}'s `curve` is empty", "", "write [[1500 rpm, 20 A], …]")
    for index in range(1, len(generator.curve)):
        if generator.curve[index][0] <= generator.curve[index - 1][0]:
            scope.say(
                (*path, index),
                f"the speeds of the {name}'s `curve` do not rise",
                "",
                "write the slowest first",
            )


def check_all_used(
    scope: Scope, said: written.Supply, devices: Mapping[str, Device], used: Set[str]
) -> None:
    """Every source is joined to something, and every device that is one is under `supply`.

    `said` has its pins looked up; `used` are the pins that circuits join.
    """
    of_source: set[str] = set()
    for _, name, path, entry in entries(said):
        given = [*entry.between]
        if isinstance(entry, written.Converter):
            given += entry.from_
        if isinstance(entry, written.Dynamo):
            given += entry.cut_out.between
        of_source |= {pin.rpartition(".")[0] for pin in given}
        own = [devices.get(pin.rpartition(".")[0]) for pin in entry.between]
        fitted = all(device and device.written.fitted == "yes" for device in own)
        if fitted and not used & set(entry.between):
            scope.say(
                (*path, "between"),
                f"no circuit joins the source `{name}`",
                "nothing that it gives would reach the network",
                "join its pins in circuits, or take it out",
            )
    for device in devices.values():
        if device.kind in SECTION_OF and device.id not in of_source and device.pins:
            scope.say(
                ("devices", device.id),
                f"`{device.id}` is a {device.kind} that `supply` does not have",
                "it would be in no current, no fuse and no wire's size",
                f"add it under `{SECTION_OF[device.kind]}` of `supply`",
            )


def check_states(scope: Scope) -> None:
    """At least one operating state; their shares of the day make at most all of it."""
    states = scope.description.states
    if not states:
        scope.say(("states",), "there are no operating states", "", "add at least `off` and `on`")
    total = fsum(state.share for state in states.values())
    if total > 1 + 1e-9:
        scope.say(
            ("states",),
            f"the shares of the operating states add up to {total:.0%}",
            "a day has 100 %",
            "correct the `share` of one of them: together they make 100 % or less",
        )

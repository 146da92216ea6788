"""Where the author's notes go in the book, and what the waivers are about."""

from __future__ import annotations

import re
from collections.abc import Collection

from buildbook.description.suggest import did_you_mean
from buildbook.vehicle.model import Circuit, Device
from buildbook.vehicle.scope import Scope

CHAPTER_TARGETS = (
    "vehicle",
    "supply",
    "connectors",
    "parts",
    "tests",
    "troubleshooting",
    "findings",
)
"""Chapters that take a note by name; the others take 'system fuel', 'harness rear', …"""


def notes_by_target(scope: Scope) -> dict[str, str]:
    """'system fuel' -> Markdown; several notes for one target follow each other."""
    description = scope.description
    named: dict[str, Collection[str]] = {
        "system": description.systems,
        "harness": description.rope,
        "device": description.devices,
        "circuit": description.circuits,
    }
    found: dict[str, str] = {}
    for index, note in enumerate(description.notes):
        path = ("notes", index, "with")
        target = " ".join(note.with_.split())
        sort, _, name = target.partition(" ")
        if target in CHAPTER_TARGETS:
            pass
        elif sort in named and name:
            if not scope.known(path, sort, name, named[sort]):
                continue
        else:
            choices = [*CHAPTER_TARGETS, *(f"{sort} NAME" for sort in named)]
            hint = did_you_mean(target, choices)
            scope.say(path, f"no place in the book is called `{target}`", "", hint)
            continue
        text = scope.contents.notes.get(note.file, "")
        found[target] = f"{found[target]}\n\n{text}" if target in found else text
    return found


OF_ABSENT_THINGS = frozenset(
    {
        "usual-missing",
        "price-missing",
        "part-missing",
        "note-unknown-device",
        "setting-unlikely",
        "run-unlikely",
        "value-unlikely",
    }
)
"""Rules whose findings are about no device: a horn that lacks, a need, a label in a note, a key."""


def check_waivers(scope: Scope, devices: dict[str, Device], circuits: dict[str, Circuit]) -> None:
    """A waiver is about something that exists: by name, or by wire, splice or run number.

    Rules about what is not there, or about what is bought, name things that only they know.
    """
    names = {*devices, *circuits, *scope.description.rope, *scope.description.systems}
    names |= {*scope.description.states, *scope.description.parts, *scope.description.zones}
    names |= {*scope.description.cables, *scope.description.plugs, "vehicle"}
    for device in devices.values():
        for group in (device.pins, device.connectors, device.loads, device.contacts):
            names |= {item.id for item in group}
        names |= {f"{device.id}.{pin.use}" for pin in device.pins if pin.use}
        names |= {f"{device.id}/{end}" for end in device.written.between or ()}
    numbers = {str(circuit.number) for circuit in circuits.values()}
    for index, waiver in enumerate(scope.description.waivers):
        if waiver.rule in OF_ABSENT_THINGS:
            continue
        number = re.fullmatch(r"S?(\d{3,4})[a-z]*", waiver.about)
        is_run = re.fullmatch(r"[^:]+:.+-.+", waiver.about)
        if waiver.about in names or (number and number[1] in numbers) or is_run:
            continue
        scope.say(
            ("waivers", index, "about"),
            f"no device, circuit or wire `{waiver.about}`",
            "",
            f"{did_you_mean(waiver.about, names, ())} without this waiver `buildbook check "
            f"--rule {waiver.rule}` tells behind each finding what it is about".strip(),
        )

"""Troubleshooting: symptoms, suspects, measurements, and what each fuse takes with it."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.faultwords import (
    apart,
    counted,
    dangers,
    device_titles,
    heading,
    loads,
    looks,
    probe,
    shortly,
    unseen_because,
)
from buildbook.book.sensorwords import sensor_views
from buildbook.book.views import note, unique
from buildbook.faultfinding.model import Effect, Step, Symptom
from buildbook.result import Result

NAMED = 12
"""Devices named before the rest are only counted."""
MANY = 4
"""Devices from which a symptom stands among those where much fails at once."""
KINDS = {
    "wire": "Wires open", "pin": "Pins without contact", "contact": "Contacts that do not close",
    "load": "Devices open inside", "source": "Outputs that give nothing", "fuse": "Fuses blown",
    "bus": "Joints and bus bars open", "ground": "Grounds loose", "battery": "Battery",
    "alternator": "Alternator",
}  # fmt: skip


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    context = {
        "groups": numbered(grouped(result)),
        "fuses": [fuse_row(result, fuse) for fuse in result.vehicle.all_of("fuse")],
        "silent": silent_rows(result),
        "sensors": sensor_views(result),
        "note": note(result, "troubleshooting"),
    }
    title = "Troubleshooting"
    return (Chapter("troubleshooting", title, "troubleshooting.html", context),)


def grouped(result: Result) -> dict[str, list[dict]]:
    """Symptom rows by where a driver looks: much at once, most first; then by system, A to Z."""
    rows = told_apart(result, [symptom_row(result, s) for s in result.faultfinding.symptoms])
    many = [row for row in rows if row["hit"] >= MANY or row["symptom"].id == "nothing-works"]
    groups = {"Much fails at once": sorted(many, key=lambda row: (-row["hit"], row["heading"]))}
    systems = result.vehicle.description.systems
    known = loads(result)
    for row in sorted(rows, key=lambda row: row["heading"]):
        if row in many:
            continue
        device = result.vehicle.devices[known[row["symptom"].effects[0].load].device]
        system = systems[device.system].title if device.system in systems else device.system
        groups.setdefault(system, []).append(row)
    first, *rest = groups
    return {name: groups[name] for name in (first, *sorted(rest)) if groups[name]}


def told_apart(result: Result, rows: list[dict]) -> list[dict]:
    """The rows, with what differs added to headings that would read the same."""
    alike: dict[str, list] = {}
    for row in rows:
        alike.setdefault(row["heading"], []).append(row["symptom"])
    found: dict[str, str] = {}
    for symptoms in alike.values():
        if len(symptoms) > 1:
            found |= apart(result, symptoms)
    more = ((row, found.get(row["symptom"].id)) for row in rows)
    return [row | {"heading": f"{row['heading']} ({x})"} if x else row for row, x in more]


def numbered(groups: dict[str, list[dict]]) -> list[tuple[str, list[dict]]]:
    """The groups with their symptoms numbered through."""
    start, found = 1, []
    for title, rows in groups.items():
        found.append((title, [row | {"number": n} for n, row in enumerate(rows, start)]))
        start += len(rows)
    return found


def symptom_row(result: Result, symptom: Symptom) -> dict:
    """A symptom in words: what is seen, what to suspect, what to measure."""
    kinds = device_titles(result, symptom.effects)
    return {
        "symptom": symptom,
        "heading": heading(result, symptom),
        "hit": sum(len(names) for names in kinds.values()),
        "seen": said(result, symptom.effects),
        "states": counted(unique(effect.state for effect in symptom.effects), NAMED),
        "suspects": titles(result, symptom.suspects),
        "cautions": dangers(result, symptom),
        "steps": [
            (
                step,
                probe(result, step.node),
                outcome(result, symptom, n, step.low),
                outcome(result, symptom, n, step.high),
            )
            for n, step in enumerate(symptom.steps)
        ],
    }


def said(result: Result, effects: Iterable[Effect]) -> list[str]:
    """Effects by kind, in device titles: 'Dead: Fuel pump and Left fan'."""
    kinds = device_titles(result, effects)
    return [f"{kind.capitalize()}: {counted(names, NAMED)}" for kind, names in kinds.items()]


def fuse_row(result: Result, fuse) -> tuple:
    """A fuse, its rating, and the devices that its loss takes along."""
    found = result.faultfinding
    faults = [f for f in found.faults.values() if f.branch == f"fuse:{fuse.id}"]
    effects = [e for fault in faults for e in found.effects.get(fault.id, ())]
    return fuse, result.sizing.fuses.get(fuse.id), said(result, effects)


def silent_rows(result: Result) -> list[tuple[str, str, list[str]]]:
    """Faults that show nothing, by kind and reason."""
    rows: dict[tuple[str, str], list[str]] = {}
    for name in result.faultfinding.silent:
        fault = result.faultfinding.faults[name]
        key = (KINDS.get(fault.kind, fault.kind), unseen_because(result, fault))
        rows.setdefault(key, []).append(bare(result, name))
    return [(kind, why, names) for (kind, why), names in sorted(rows.items())]


def bare(result: Result, name: str) -> str:
    """A silent fault without the words that its table row's kind says already."""
    fault = result.faultfinding.faults[name]
    short = fault.branch.partition(":")[2] or fault.title
    return short if fault.kind in ("wire", "pin", "fuse", "source") else looks(result, fault)


def outcome(result: Result, symptom: Symptom, at: int, left: tuple[str, ...]) -> str:
    """Where a reading leads: the next measurement of these suspects, or the suspects."""
    for later, step in enumerate(symptom.steps[at + 1 :], start=at + 1):
        if covers(step, left):
            return f"go to {later + 1}"
    return shortly(result, left) or "none of the suspects"


def covers(step: Step, suspects: tuple[str, ...]) -> bool:
    return set(step.low) | set(step.high) == set(suspects)


def titles(result: Result, faults: Iterable[str]) -> list[str]:
    known = result.faultfinding.faults
    return [looks(result, known[fault]) if fault in known else fault for fault in faults]

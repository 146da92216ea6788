"""Troubleshooting: symptoms, suspects, measurements, and what each fuse takes with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.complaints import complaints, count_with_own_tree, likely_words
from buildbook.book.dangers import dangers_of
from buildbook.book.drawings import Drawings
from buildbook.book.fault_trees import PrintedTree, merge_alike, tree_of
from buildbook.book.fault_wording import (
    dangers,
    gathered,
    loads,
    losses,
    named_or_counted,
)
from buildbook.book.finder import BLOWS, KINDS, OTHER, FinderGroup, column_head, finder_group
from buildbook.book.formats import number
from buildbook.book.sensor_wording import described_sensors
from buildbook.book.shared_parts import shared_parts
from buildbook.book.shared_rows import note, unique
from buildbook.book.state_wording import charging_words, states_words
from buildbook.book.symptom_headings import device_titles, headings, seen_head
from buildbook.checks.buzzing import devices_that_buzz
from buildbook.faultfinding.complaints import LEAST_SHARE
from buildbook.faultfinding.crossed import other_side
from buildbook.faultfinding.faults import LIKELIHOOD, MODE_SHARE
from buildbook.faultfinding.heat import AIM_K
from buildbook.faultfinding.model import Cause, Effect, Symptom
from buildbook.faultfinding.symptom_titles import seen_words
from buildbook.result import Result
from buildbook.sizing.model import FuseSizing
from buildbook.vehicle.model import Device
from buildbook.words.say import mark, say

NAMED = 6
"""Devices named before the rest are only counted."""
MANY = 4
"""Devices from which a symptom stands among those where much fails at once."""
MOST_FOLLOWS = 2
"""Losses of which a tree says what follows: where more is lost, other things are seen first."""
BLOWN = mark("A fuse blows, an output trips, or the driver sees something else")
"""Title of the symptoms in which no load is dead, weak or stuck on."""
WATTS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
"""Where the groups of joints by the heat in them begin."""
MUCH = mark("Much fails at once")
"""Title of the symptoms that hit many devices."""
INDICATES = ("indicator", "blinker")
"""What the title of an indicator has in it, in the languages of the book."""
WORDS = {
    "pin": mark("pins and nuts"),
    "ground": mark("grounds"),
    "fuse": mark("fuses"),
    "contact": mark("contacts"),
    "load": mark("devices themselves"),
    "battery": mark("battery"),
    "alternator": mark("what charges"),
    "source": mark("outputs"),
    "bus": mark("joints inside devices"),
    "wire": mark("wires"),
}


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    groups = printed(result, grouped(result))
    said_by_driver = complaints(result, place_of(groups))
    context = {
        "dangers": dangers_of(result.vehicle),
        "groups": groups,
        "finder": [_finder(result, title, entries) for title, entries in groups],
        "kinds": [(kind, column_head(kind)) for kind in (*KINDS, BLOWS, OTHER)],
        "complaints": said_by_driver,
        "likely_words": likely_words(),
        "any_own": any(complaint.own for complaint in said_by_driver),
        "weights": kinds_by_weight(),
        "modes": MODE_SHARE,
        "least_share": LEAST_SHARE,
        "most_follows": limit_of_follows(groups),
        "bus": has_bus(result),
        "trips": result.sizing.outputs,
        "changed_over": changed_over_rows(result),
        "aim_k": AIM_K,
        "hot_joints": hot_joint_rows(result),
        "shares": shared_parts(result),
        "unsure": unsure_rows(result),
        "sensors": described_sensors(result),
        "note": note(result, "troubleshooting"),
    }
    title = say("Troubleshooting")
    return (Chapter("troubleshooting", title, "troubleshooting.html", context),)


@dataclass(frozen=True)
class UnsureRow:
    """A state in which something buzzes though all is well, and what hangs on it."""

    state: str
    buzzing: tuple[str, ...]
    titles: tuple[str, ...]


def unsure_rows(result: Result) -> list[UnsureRow]:
    """States in which nothing can be predicted of some devices."""
    vehicle, meter = result.vehicle, result.solved.meter
    return [
        UnsureRow(
            state,
            devices_that_buzz(vehicle, meter[state].unsettled),
            unique(d.title or d.id for d in vehicle.devices.values() if _is_unsure(d, loads)),
        )
        for state, loads in result.faultfinding.unsure.items()
    ]


def _is_unsure(device: Device, loads: frozenset[str]) -> bool:
    return any(load.id in loads for load in device.loads)


def has_bus(result: Result) -> bool:
    """Whether any tree measures across a data bus."""
    steps = (step for symptom in result.faultfinding.symptoms for step in symptom.steps)
    return any(step.what.startswith("bus") for step in steps)


@dataclass(frozen=True)
class SymptomRow:
    """A symptom in words."""

    symptom: Symptom
    heading: str
    follows: tuple[str, ...]
    """What the controllers do without what is lost."""
    causes: tuple[Cause, ...]
    """What is not electrical."""
    cautions: tuple[str, ...]
    opens_in: str
    """States in which a fuse or an output opens again."""
    hit: int
    """Devices that it is seen on."""


@dataclass(frozen=True)
class TreeRow:
    """A numbered tree, of one symptom or of several alike, with what is said around it."""

    tree: PrintedTree
    number: int
    symptom: Symptom
    """The first of those that it stands for."""
    cautions: tuple[str, ...]
    causes: tuple[Cause, ...]
    follows: tuple[str, ...]
    opens_in: str
    """States in which a fuse or an output opens again."""
    more_follows: bool
    """More follows than is said."""


Groups = list[tuple[str, list[TreeRow]]]
"""Titles with the trees under them."""
FuseRow = tuple[Device, FuseSizing | None, list[str]]
GroundRow = tuple[str, str, list[str], float | None, list[str]]


def grouped(result: Result) -> dict[str, list[SymptomRow]]:
    """Symptom rows by where a driver looks: much at once, most first; then by system, A to Z."""
    symptoms = result.faultfinding.symptoms
    said = headings(result, symptoms)
    rows = [symptom_row(result, s, said[s.id]) for s in symptoms]
    many = [row for row in rows if row.hit >= MANY or at_once(row.symptom)]
    groups = {say(MUCH): sorted(many, key=lambda row: (-row.hit, row.heading))}
    systems = result.vehicle.description.systems
    known = loads(result)
    for row in sorted(rows, key=lambda row: row.heading):
        if row in many:
            continue
        if not row.symptom.effects:
            groups.setdefault(say(BLOWN), []).append(row)
            continue
        device = result.vehicle.devices[known[row.symptom.effects[0].load].device]
        system = systems[device.system].title if device.system in systems else device.system
        groups.setdefault(system, []).append(row)
    first, *rest = groups
    return {name: groups[name] for name in (first, *sorted(rest)) if groups[name]}


def at_once(symptom: Symptom) -> bool:
    """True for symptoms that stand where much fails, whatever they hit."""
    return (
        symptom.id == "nothing-works"
        or symptom.burns
        or not (symptom.effects or symptom.blows or symptom.trips or symptom.charging)
    )


def symptom_row(result: Result, symptom: Symptom, said: str) -> SymptomRow:
    """A symptom in words, under its heading."""
    kinds = device_titles(result, symptom.effects)
    causes = [n.causes for n in result.faultfinding.complaints if n.name == symptom.called]
    return SymptomRow(
        symptom,
        said,
        losses(result, symptom.effects),
        tuple(cause for listed in causes for cause in listed),
        dangers(result, symptom),
        states_words(result, symptom.blows_in),
        sum(len(names) for names in kinds.values()),
    )


def printed(result: Result, groups: dict[str, list[SymptomRow]]) -> Groups:
    """The groups with their trees numbered through, trees alike but for names put together.

    The author's complaints that stand for themselves come first and have the first numbers.
    """
    found, number = [], count_with_own_tree(result)
    for title, rows in groups.items():
        row_of = {row.symptom.id: row for row in rows}
        trees = merge_alike(tree_of(result, row.symptom, row.heading) for row in rows)
        shown = []
        for tree in trees:
            number += 1
            shown.append(tree_row(tree, number, [row_of[name] for name in tree.anchors]))
        found.append((title, shown))
    return found


def tree_row(tree: PrintedTree, number: int, rows: list[SymptomRow]) -> TreeRow:
    """A tree with what is said around it, out of the rows of the symptoms that it stands for."""
    causes = tuple(cause for row in rows for cause in row.causes)
    cautions = [kind for row in rows for kind in row.cautions]
    cautions += [cause.caution for cause in causes if cause.caution]
    follows = unique(what for row in rows for what in row.follows)
    more = len(follows) > MOST_FOLLOWS
    symptom = rows[0].symptom
    shown = charging_words(symptom) + (() if more else follows)
    return TreeRow(tree, number, symptom, unique(cautions), causes, shown, rows[0].opens_in, more)


def _finder(result: Result, title: str, entries: list[TreeRow]) -> FinderGroup:
    """Where to look for what a group of trees is of."""
    trees = [
        (entry.number, name, heading)
        for entry in entries
        for name, heading in zip(entry.tree.anchors, entry.tree.headings, strict=True)
    ]
    return finder_group(result, title, trees, title == say(MUCH))


def limit_of_follows(groups: Groups) -> int:
    """How many things that follow a tree says at most; 0 where no tree has more."""
    return MOST_FOLLOWS if any(row.more_follows for _, rows in groups for row in rows) else 0


def place_of(groups: Groups) -> dict[str, tuple[int, str]]:
    """Symptom id -> number and heading of its tree."""
    return {
        name: (entry.number, heading)
        for _, entries in groups
        for entry in entries
        for name, heading in zip(entry.tree.anchors, entry.tree.headings, strict=True)
    }


def kinds_by_weight() -> list[tuple[str, float]]:
    """Kinds of part with how often they fail against each other, the most first."""
    by_weight: dict[float, list[str]] = {}
    for kind, weight in LIKELIHOOD.items():
        by_weight.setdefault(weight, []).append(say(WORDS[kind]))
    return [(", ".join(words), w) for w, words in sorted(by_weight.items(), reverse=True)]


def said(result: Result, effects: Iterable[Effect], most: int = NAMED) -> list[str]:
    """Effects by kind, in device titles: 'Dead: Fuel pump and Left fan'; `most` of each named."""
    kinds = device_titles(result, effects)
    return [f"{seen_head(kind)}: {named_or_counted(names, most)}" for kind, names in kinds.items()]


def fuse_row(result: Result, fuse: Device, most: int = NAMED) -> FuseRow:
    """A fuse, its rating, and the devices that its loss takes along."""
    found = result.faultfinding
    faults = [f for f in found.faults.values() if f.branch == f"fuse:{fuse.id}"]
    effects = [e for fault in faults for e in found.effects.get(fault.id, ())]
    return fuse, result.sizing.fuses.get(fuse.id), said(result, effects, most)


def ground_rows(result: Result, most: int = NAMED) -> list[GroundRow]:
    """Each ground: its name, what fails without it, and from how many ohms what is seen."""
    found = result.faultfinding
    rows = []
    for device in result.vehicle.devices.values():
        for bond in device.bonds:
            if bond.kind == "ground":
                poor = found.faults[f"resistive ground:{bond.id}"]
                seen = said(result, found.effects[poor.id], most)
                without = said(result, found.effects[f"open ground:{bond.id}"], most)
                rows.append((bond.id, device.title, without, poor.ohms if seen else None, seen))
    return rows


def hot_joint_rows(result: Result) -> list[tuple[str, str, str]]:
    """Least and most watts of a group of poor joints that get hot, the hottest first, and they."""
    found = result.faultfinding
    groups: dict[float, dict[str, float]] = {}
    first: dict[str, str] = {}
    for name in sorted(found.hot, key=lambda f: found.faults[f].ohms):
        first.setdefault(found.faults[name].branch, name)
    for name in first.values():
        watts = max(hot.watts for hot in found.hot[name])
        above = max((w for w in WATTS if w <= watts), default=0.0)
        groups.setdefault(above, {})[name] = watts
    return [
        (
            number(min(those.values()), 1),
            number(max(those.values()), 1),
            gathered(result, those, how=False),
        )
        for _, those in sorted(groups.items(), reverse=True)
    ]


def changed_over_rows(result: Result) -> list[tuple[str, str]]:
    """What pins changed over at the bench make run backwards or take for another, and the pins."""
    found, rows = result.faultfinding, []
    for fault in found.faults.values():
        kinds = {effect.effect for effect in found.effects[fault.id]}
        if fault.mode == "swap" and kinds in ({"runs backwards"}, {"crossed"}):
            titles = device_titles(result, found.effects[fault.id])
            (names,) = titles.values()
            rows.append((_changed_over(result, found.effects[fault.id], names), fault.title))
    return sorted(rows)


def _changed_over(result: Result, effects: Sequence[Effect], names: tuple[str, ...]) -> str:
    known = loads(result)
    kinds = {result.vehicle.devices[known[effect.load].device].kind for effect in effects}
    said = named_or_counted(names, NAMED)
    if {effect.effect for effect in effects} == {"runs backwards"}:
        return seen_words("runs backwards", said)
    if kinds & {"injector", "ignition coil"}:
        return say("Runs on some cylinders or misfires: {things} crossed", things=said)
    if all(other_side(effect.load) != effect.load for effect in effects):
        if all(any(word in name.lower() for word in INDICATES) for name in names):
            return say("Indicates right for left: {things}", things=said)
        return say("Works right for left: {things}", things=said)
    return say("{things} work in each other's place", things=said)

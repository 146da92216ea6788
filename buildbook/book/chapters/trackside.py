"""The trackside pages: one page of what drivers say, an opening for each, the panel, wiggling."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from itertools import groupby

from buildbook.book.chapter import Chapter
from buildbook.book.chapters.troubleshooting import hot_joint_rows
from buildbook.book.complaints import likely_words
from buildbook.book.dangers import caution_words, dangers_of
from buildbook.book.drawings import Drawings
from buildbook.book.formats import number, plain
from buildbook.book.opening import (
    Opening,
    cure_names,
    openings,
    place_words,
    plugged_fuses,
)
from buildbook.book.shared_rows import note, unique
from buildbook.description.expand.kinds import said_use
from buildbook.drawing.faces.panel import columns_of, mounted
from buildbook.drawing.shared.model import Drawing
from buildbook.faultfinding.intermittent import Wiggle, reason_words, wiggles
from buildbook.faultfinding.model import Entry, Symptom
from buildbook.result import Result
from buildbook.sizing.openers import family_of
from buildbook.vehicle.model import Device
from buildbook.words.say import say

WIGGLED = 4
"""Places of a wiggle list that an entry has room for; the rest are counted."""
MANY_ALIKE = 5
"""Alike ones on the car from which two spares are carried. Our choice."""
HOTTEST = 3
"""Groups of joints by their heat that the pocket has room for; the book names all."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    opened = openings(result)
    hot_joints = hot_joint_rows(result)
    states = result.vehicle.description.states
    context = {
        "dangers": dangers_of(result.vehicle),
        "caution_words": caution_words(),
        "cure_names": cure_names(),
        "likely_words": likely_words(),
        "openings": opened,
        "groups": [(g, list(those)) for g, those in groupby(opened, lambda o: o.group)],
        "panels": [panel_face(result, panel) for panel in result.vehicle.all_of("panel")],
        "spares": spares(result),
        "states": [(name, written.about, written.engine) for name, written in states.items()],
        "blown": blown_rows(result),
        "smokes": [smoke_row(result, s) for s in result.faultfinding.symptoms if s.burns],
        "hot_joints": hot_joints[:HOTTEST],
        "cooler_joints": hot_joints[HOTTEST:],
        "wiggles": [(o, *wiggle_row(result, e)) for o, e in _both(result, opened)],
        "fuse_sayings": [
            named.name
            for named in result.vehicle.complaints
            if any(sign.blows for sign in named.signs)
        ],
        "note": note(result, "troubleshooting"),
    }
    name = say("Trackside pages")
    return (Chapter("trackside", name, "trackside.html", context, pictures_of(opened)),)


def _both(result: Result, opened: tuple[Opening, ...]) -> list[tuple[Opening, Entry]]:
    return list(zip(opened, result.faultfinding.entries, strict=True))


@dataclass(frozen=True)
class Slot:
    """A fuse on the panel's face: what it feeds, and what is on its blades."""

    id: str
    title: str
    rating_a: float | None
    fed_by: str
    out: str
    """Wire at its load side, with its colour."""


@dataclass(frozen=True)
class PanelFace:
    """A panel's face: rows of slots as wide as its drawing in the book, and its relays."""

    title: str
    rows: tuple[tuple[Slot | None, ...], ...]
    relays: tuple[Device, ...]
    columns: int


def panel_face(result: Result, panel: Device) -> PanelFace:
    """The face of one panel, in slots."""
    slots: list[Slot | None] = [slot(result, fuse) for fuse in plugged_fuses(result, panel.id)]
    columns = columns_of(result, panel)
    slots += [None] * (-len(slots) % columns)
    rows = tuple(tuple(slots[at : at + columns]) for at in range(0, len(slots), columns))
    return PanelFace(panel.title, rows, mounted(result, panel, "relay"), columns)


def slot(result: Result, fuse: Device) -> Slot:
    """A fuse in its slot."""
    size = result.sizing.fuses.get(fuse.id)
    out = next(b.to_pin for b in fuse.bonds if b.kind == "fuse")
    wires = [result.harness.wires[w] for w in result.harness.wire_at.get(out, ())]
    said = ", ".join(f"{w.id} {w.colour}" for w in wires[:2])
    bus = fuse.written.bus
    return Slot(fuse.id, fuse.what_it_is, size.rating_a if size else None, bus or "", said)


def spares(result: Result) -> list[tuple[str, str, str, int]]:
    """What to carry: rating, kind and colour, where each goes, and how many of it."""
    found: dict[tuple[float, str, str], list[str]] = {}
    for fuse in result.vehicle.all_of("fuse"):
        size = result.sizing.fuses.get(fuse.id)
        if size is not None and size.rating_a:
            colour = say(size.colour) if size.colour else ""
            key = (size.rating_a, family_of(result.vehicle, fuse.id).id, colour)
            found.setdefault(key, []).append(fuse.id)
    rows = [
        (f"{plain(rating)} A", f"{family} {colour}".strip(), ", ".join(ids), carried(len(ids)))
        for (rating, family, colour), ids in sorted(found.items())
    ]
    relays = Counter(r.written.part or r.title for r in result.vehicle.all_of("relay"))
    for kind, count in sorted(relays.items()):
        ids = [r.id for r in result.vehicle.all_of("relay") if (r.written.part or r.title) == kind]
        rows.append((say("relay"), kind, ", ".join(ids), carried(count)))
    return rows


def carried(on_the_car: int) -> int:
    """How many spares of what stands so often on the car."""
    return 2 if on_the_car >= MANY_ALIKE else 1


@dataclass(frozen=True)
class Blowing:
    """When a fuse opens again, and where to take ohms to the body, likeliest first."""

    when: str
    places: tuple[str, ...]
    ends: tuple[str, ...]
    """What touches where that place reads next to nothing; the last where none does."""


BlownRow = tuple[str, str, list[Blowing]]
"""A fuse, its title, and its ways to blow."""


def blown_rows(result: Result) -> list[BlownRow]:
    """Every fuse that a chafed wire blows alone, and every output that it trips alone."""
    rows: dict[str, list[Blowing]] = {}
    for symptom in result.faultfinding.symptoms:
        opens = (*symptom.blows, *symptom.trips)
        if len(opens) == 1 and not symptom.burns:
            always = len(symptom.blows_in) >= len(result.vehicle.states) - 1
            when = "" if always else ", ".join(symptom.blows_in)
            rows.setdefault(opens[0], []).append(Blowing(when, *ohms_row(result, symptom)))
    titles = {f.id: f.title for f in result.vehicle.all_of("fuse")}
    titles |= {
        name: say("{what}, trips", what=said_use(result.vehicle.pins[name].use))
        for name in result.sizing.outputs
    }
    return [(fuse, titles[fuse], rows[fuse]) for fuse in sorted(rows, key=_natural)]


def _natural(name: str) -> tuple[str, int]:
    digits = "".join(c for c in name if c.isdigit())
    return name.rstrip("0123456789"), int(digits or 0)


def ohms_row(result: Result, symptom: Symptom) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Places in order and what touches where each reads low; the last ends are what is left."""
    places = tuple(step.node.removesuffix("~") for step in symptom.steps)
    left = symptom.steps[-1].high if symptom.steps else symptom.suspects
    ends = [wires_of(result, step.low) for step in symptom.steps]
    return places, (*ends, wires_of(result, left))


def wires_of(result: Result, faults: tuple[str, ...]) -> str:
    """Numbers of the wires that faults are of."""
    known = result.faultfinding.faults
    return ", ".join(unique(known[f].branch.partition(":")[2] for f in faults))


def smoke_row(result: Result, symptom: Symptom) -> tuple[str, str]:
    """A short that no fuse stops: what it is called and which wires."""
    return symptom.title, wires_of(result, symptom.suspects)


def wiggle_row(result: Result, entry: Entry) -> tuple[list[Wiggle], int, str]:
    """Where an entry can come and go, how many more places, and what to watch meanwhile."""
    known = result.faultfinding.faults
    found = wiggles(result.vehicle, result.harness, [known[f] for f in entry.suspects])
    spots = [replace(spot, why=tuple(map(reason_words, spot.why))) for spot in found]
    return spots[:WIGGLED], max(0, len(spots) - WIGGLED), watched(result, entry)


def watched(result: Result, entry: Entry) -> str:
    """A meter's place that shows it at once: where the entry measures, and what it is when well."""
    for step in entry.steps:
        shown = result.readings[step.state].at(step.node) if step.what == "volts" else None
        if shown is not None and shown.kind == "steady" and shown.volts is not None:
            volts = number(shown.volts.nominal, 1)
            return say(
                "{place}: {volts} V in {state}",
                place=place_words(result, step.node),
                volts=volts,
                state=step.state,
            )
    return ""


def pictures_of(opened: tuple[Opening, ...]) -> tuple[Drawing, ...]:
    """Every picture of the openings, once."""
    found = {s.picture.name: s.picture for o in opened for s in o.steps if s.picture}
    return tuple(found.values())

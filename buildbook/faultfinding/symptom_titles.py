"""Symptoms in plain words: 'Fuel pump dead', 'Left headlamp weak'."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildbook.faultfinding.model import Charging, Effect
from buildbook.vehicle.model import Vehicle
from buildbook.words.joined import and_more, listed
from buildbook.words.say import say, say_n

MOST_NAMED = 3


@dataclass(frozen=True)
class Names:
    """What to call each load: its device's title, with what is seen of it where there are more."""

    device: Mapping[str, str]
    """Load id -> title of its device."""
    seen: Mapping[str, str]
    """Load id -> what is seen when it works, or its pin; '' for a device's only load."""


def load_names(vehicle: Vehicle) -> Names:
    """Names of every load of a vehicle."""
    device_of, seen = {}, {}
    for device in vehicle.devices.values():
        for load in device.loads:
            device_of[load.id] = device.title
            alone = len(device.loads) == 1
            seen[load.id] = "" if alone else load.what or load.id.partition(".")[2]
    return Names(device_of, seen)


def symptom_title(
    effects: Sequence[Effect], names: Names, works_in: Mapping[str, frozenset[str]]
) -> str:
    """Return the title; `works_in` gives for each load the states in which it works when well."""
    worst: dict[str, str] = {}
    order = ("dead", "runs backwards", "weak", "stuck on", "crossed", "wrong reading")
    for effect in sorted(effects, key=lambda e: order.index(e.effect)):
        worst.setdefault(effect.load, effect.effect)
    working = {load for load, states in works_in.items() if states}
    if working and {load for load, effect in worst.items() if effect == "dead"} >= working:
        title = say("Nothing works")
    else:
        parts = [
            seen_words(effect, _listed(_called(_with(worst, effect), names, working)))
            for effect in order
            if effect in worst.values()
        ]
        title = "; ".join(parts)
    return title[:1].upper() + title[1:] + _when(effects, works_in)


def _with(worst: Mapping[str, str], effect: str) -> list[str]:
    return [load for load, its in worst.items() if its == effect]


def seen_words(effect: str, names: str) -> str:
    """Things with what is wrong with them, in the words of `Effect.effect`: 'Fuel pump dead'."""
    words = {
        "dead": say("{names} dead", names=names),
        "weak": say("{names} weak", names=names),
        "stuck on": say("{names} stuck on", names=names),
        "runs backwards": say("{names} runs backwards", names=names),
        "crossed": say("{names} crossed", names=names),
        "wrong reading": say("{names} wrong reading", names=names),
    }
    return words[effect]


def blows_words(fuses: Sequence[str], listed: str = "") -> str:
    """Fuses that open again when they are renewed; `listed` where they are not all named."""
    shown = listed or ", ".join(fuses)
    return say_n("blows {fuses}", "blows {fuses}", len(fuses), fuses=shown)


def trips_words(outputs: Sequence[str], listed: str = "") -> str:
    """Outputs that switch themselves off; `listed` where they are not all named."""
    shown = listed or ", ".join(outputs)
    return say_n("trips {outputs}", "trips {outputs}", len(outputs), outputs=shown)


def charging_title(title: str, charging: Sequence[Charging]) -> str:
    """The title, with what a voltmeter says of a battery that the engine leaves to itself."""
    if not charging:
        return title
    volts = sorted(c.battery_v for c in charging)
    if volts[-1] - volts[0] >= 0.1:
        said = say(
            "battery not charged: {low_v:.1f} to {high_v:.1f} V with the engine running",
            low_v=volts[0],
            high_v=volts[-1],
        )
    else:
        said = say("battery not charged: {v:.1f} V with the engine running", v=volts[0])
    return f"{title}; {said}" if title else said[:1].upper() + said[1:]


def _called(loads: Sequence[str], names: Names, working: set[str]) -> list[str]:
    """A device by its title where all its working loads are in it, else what is seen."""
    found = []
    for load in loads:
        title = names.device[load]
        beside = {x for x in working if names.device[x] == title}
        whole = beside <= set(loads) or not names.seen[load]
        found.append(title if whole else f"{title} ({names.seen[load]})")
    return found


def _listed(names: list[str]) -> str:
    names = list(dict.fromkeys(names))
    if len(names) > MOST_NAMED:
        return and_more(names[:MOST_NAMED], len(names) - MOST_NAMED)
    return listed(names)


def _when(effects: Sequence[Effect], works_in: Mapping[str, frozenset[str]]) -> str:
    """Name the states where the loads work well in others."""
    states = list(dict.fromkeys(e.state for e in effects))
    loads = {e.load for e in effects}
    usual = frozenset().union(*(works_in.get(load, frozenset()) for load in loads))
    return "" if usual <= set(states) else f" ({', '.join(states)})"


def slugs(titles: Sequence[str]) -> list[str]:
    """Ids made of titles: short, in small letters, and each only once."""
    short = [re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:48] for title in titles]
    total, so_far = Counter(short), Counter[str]()
    found = []
    for slug in short:
        so_far[slug] += 1
        found.append(f"{slug}-{so_far[slug]}" if total[slug] > 1 else slug)
    return found


def made_different(titles: Sequence[str]) -> list[str]:
    """Number the titles that occur more than once."""
    total, so_far = Counter(titles), Counter[str]()
    found = []
    for title in titles:
        so_far[title] += 1
        several = total[title] > 1
        found.append(say("{title}, case {n}", title=title, n=so_far[title]) if several else title)
    return found

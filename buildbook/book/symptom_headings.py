"""Headings of symptoms by device: 'Fuel pump dead', and what tells two of one heading apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildbook.book.fault_wording import NAMED, loads, named_or_counted, part
from buildbook.book.shared_rows import unique
from buildbook.faultfinding.diagnosis import FaultTable
from buildbook.faultfinding.model import Effect, Symptom
from buildbook.faultfinding.symptom_titles import blows_words, seen_words, trips_words
from buildbook.result import Result
from buildbook.words.say import say, say_n

LONGEST = 90
"""Letters from which what happens to further devices is only counted."""
NEARLY_ALL = 0.6
"""Share of the devices that draw current from which a symptom reads 'nearly everything'."""
UNSEEN = ("relay", "sensor")
"""Kinds of device that no driver sees working."""


def seen_head(kind: str) -> str:
    """What happens to devices, one of `Effect.effect`, before they are named: 'Dead'."""
    words = {
        "dead": say("Dead"),
        "weak": say("Weak"),
        "stuck on": say("Stuck on"),
        "runs backwards": say("Runs backwards"),
        "crossed": say("Crossed"),
        "wrong reading": say("Wrong reading"),
    }
    return words[kind]


def _counted(kind: str, n: int) -> str:
    """Devices that are only counted, behind others that are named."""
    words = {
        "dead": say_n("{n} more dead", "{n} more dead", n),
        "weak": say_n("{n} weak", "{n} weak", n),
        "stuck on": say_n("{n} stuck on", "{n} stuck on", n),
        "runs backwards": say_n("{n} runs backwards", "{n} runs backwards", n),
        "crossed": say_n("{n} crossed", "{n} crossed", n),
        "wrong reading": say_n("a sensor reads wrong", "{n} sensors read wrong", n),
    }
    return words[kind]


def heading(result: Result | FaultTable, symptom: Symptom) -> str:
    """A short heading by device: 'Fuel pump dead', 'Nearly everything dead'."""
    if symptom.id == "nothing-works" or symptom.burns or not symptom.effects:
        return symptom.title
    kinds = device_titles(result, symptom.effects)
    drawing = sum(1 for d in result.vehicle.devices.values() if d.loads and d.kind not in UNSEEN)
    hit = sum(len(names) for names in kinds.values())
    said = []
    for kind, names in kinds.items():
        if len(names) > NAMED and len(names) >= NEARLY_ALL * drawing:
            said.append(seen_words(kind, say("nearly everything")))
            continue
        words = seen_words(kind, function(result, symptom, kind, names))
        crowded = hit > NAMED or len("; ".join([*said, words])) > LONGEST
        said.append(_counted(kind, len(names)) if said and crowded else words)
    if symptom.charging:
        said.append(say("battery not charged"))
    if symptom.blows:
        said.append(blows_words(symptom.blows, named_or_counted(symptom.blows, NAMED)))
    if symptom.trips:
        said.append(trips_words(symptom.trips, named_or_counted(symptom.trips, NAMED)))
    text = "; ".join(said)
    return text[:1].upper() + text[1:]


def headings(result: Result | FaultTable, symptoms: Sequence[Symptom]) -> dict[str, str]:
    """Symptom id -> heading, with what differs added where two would read the same."""
    found = {s.id: _with_name(s, heading(result, s)) for s in symptoms}
    alike: dict[str, list[Symptom]] = {}
    for symptom in symptoms:
        alike.setdefault(found[symptom.id], []).append(symptom)
    more: dict[str, str] = {}
    for group in alike.values():
        if len(group) > 1:
            more |= differences(result, group)
    return {
        name: f"{text} ({more[name]})" if name in more else text for name, text in found.items()
    }


def _with_name(symptom: Symptom, said: str) -> str:
    called = symptom.called
    return f"{called[:1].upper()}{called[1:]}: {said}" if called else said


def differences(result: Result | FaultTable, alike: list[Symptom]) -> dict[str, str]:
    """What tells symptoms of one heading apart: loads that not all share, else states."""
    known = loads(result)
    hit = {s.id: unique(e.load for e in s.effects) for s in alike}
    states = {s.id: unique([*(e.state for e in s.effects), *s.blows_in]) for s in alike}
    shared = set.intersection(*(set(names) for names in hit.values()))
    always = set.intersection(*(set(names) for names in states.values()))
    found: dict[str, str] = {}
    for symptom in alike:
        own = [known[load] for load in hit[symptom.id] if load not in shared]
        said = unique(load.what or part(result, load) for load in own)
        extra = tuple(state for state in states[symptom.id] if state not in always)
        if said:
            found[symptom.id] = say("also: {things}", things=named_or_counted(said, 2))
        elif extra:
            found[symptom.id] = say("also in {states}", states=named_or_counted(extra, 2))
    for words in dict.fromkeys(found.values()):
        same = [symptom for symptom in alike if found.get(symptom.id) == words]
        if 1 < len(same) < len(alike):  # told by a count that is the same
            for name, more in differences(result, same).items():
                found[name] = f"{words}; {more}"
    return found


def device_titles(
    result: Result | FaultTable, effects: Iterable[Effect]
) -> dict[str, tuple[str, ...]]:
    """Titles of the devices by what happens to them, 'dead' first and each device once."""
    known = loads(result)
    kinds: dict[str, dict[str, None]] = {}
    seen: set[str] = set()
    for effect in sorted(effects, key=lambda e: (e.effect != "dead", e.effect)):
        device = known[effect.load].device
        if device in seen and device not in kinds.get(effect.effect, {}):
            continue
        seen.add(device)
        kinds.setdefault(effect.effect, {})[device] = None
    devices = result.vehicle.devices
    return {
        kind: unique(devices[name].title or name for name in names) for kind, names in kinds.items()
    }


def function(
    result: Result | FaultTable, symptom: Symptom, kind: str, names: tuple[str, ...]
) -> str:
    """The devices named; for one that fails in part, also the pins that fail."""
    if len(names) > 1:
        return named_or_counted(names, NAMED)
    known = loads(result)
    hit = {e.load for e in symptom.effects if e.effect == kind}
    devices = unique(known[load].device for load in sorted(hit))
    device = result.vehicle.devices[devices[0]]
    if len(devices) > 1 or len(hit) == len(device.loads):
        return names[0]
    what = unique(load.what for load in device.loads if load.id in hit and load.what)
    if len(what) == 1 and len(hit) == 1:
        return f"{names[0]} ({what[0]})"
    pins = unique(known[load].from_pin.partition(".")[2] for load in sorted(hit))
    shown = named_or_counted(pins, NAMED)
    return say_n(
        "{device} (pin {pins})",
        "{device} (pins {pins})",
        len(pins),
        device=names[0],
        pins=shown,
    )

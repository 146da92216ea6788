"""What a driver says, at most thirty lines, and the few questions that each leads to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np

from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.model import (
    Cause,
    ComplaintPatterns,
    Effect,
    Entry,
    Fault,
    Step,
    Symptom,
)
from buildbook.faultfinding.questions import Asking, visible_loads
from buildbook.faultfinding.tree import measure
from buildbook.vehicle.model import Device, Vehicle
from buildbook.words.say import mark, say

MOST_ENTRIES = 30
"""Lines that one page has room for: a driver reads no second one."""
MOST_STEPS = 7
"""Questions of an opening; what they do not part is named with them. Our choice."""
LEAST_SHARE = 0.004
"""Of the likelihood of an entry: what is less likely is counted, and in the book."""

CRANK, FIRE, LAMP, FAN, CHARGING, OTHER, ALL = (
    mark("Will not crank"),
    mark("Cranks but no fire"),
    mark("A lamp"),
    mark("A fan, a pump, a motor"),
    mark("Charging"),
    mark("Something else does not work"),
    mark("All or much is dead"),
)
"""Groups of the page, in its order but for the last, which comes first."""
ORDER = (ALL, CRANK, FIRE, LAMP, FAN, CHARGING, OTHER)
SIDES = (
    "left|right|front|rear|low|high|links|rechts|vorne?|hinten|linke[rs]?|rechte[rs]?"
    "|vordere[rs]?|hintere[rs]?"
)
"""Where a part is, as titles say it in the languages of the book: a pattern."""
TWINS = re.compile(rf"\b({SIDES}|first|second|[0-9]+)\b", re.IGNORECASE)
"""What tells twins apart in their titles."""
FAILS = ("dead", "weak", "runs backwards")
TURNS = ("ignition coil", "injector")


@dataclass(frozen=True)
class Said:
    """A line before its questions are sought: what is said, its group, and who may be behind."""

    name: str
    group: str
    weights: Mapping[str, float]
    loads: frozenset[str]
    """On which it is seen."""
    causes: tuple[Cause, ...] = ()

    @property
    def likely(self) -> dict[str, float]:
        """Those that are named and how likely each is, the likeliest first."""
        least = LEAST_SHARE * fsum(self.weights.values())
        ranked = sorted(self.weights.items(), key=lambda item: (-item[1], item[0]))
        return {fault: w for fault, w in ranked if w >= least}


def entries(
    asking: Asking,
    effects: Mapping[str, Sequence[Effect]],
    symptoms: Sequence[Symptom],
    said: Iterable[Said],
) -> tuple[Entry, ...]:
    """The lines of the page, each with its questions."""
    faults = {fault.id: fault for fault in asking.swept.faults}
    return tuple(_entry(asking, faults, effects, symptoms, line) for line in said)


def said_by_drivers(
    vehicle: Vehicle,
    every: Iterable[Fault],
    effects: Mapping[str, Sequence[Effect]],
    drained: Iterable[str],
    symptoms: Sequence[Symptom],
    complaints: Sequence[ComplaintPatterns],
) -> tuple[Said, ...]:
    """The lines of the page, the author's first in each group; the rarest are left to the book."""
    told = {f for symptom in symptoms for f in symptom.suspects}
    faults = {f.id: f for f in every if f.id in told}
    by_author = [_of_author(vehicle, faults, c) for c in complaints]
    said = [line for line in by_author if line is not None]
    said += _computed(vehicle, faults, effects, drained, {line.group for line in said})
    said = sorted(
        (line for line in said if line.weights),
        key=lambda line: line not in by_author and -fsum(line.weights.values()),
    )[:MOST_ENTRIES]
    return tuple(sorted(said, key=lambda line: ORDER.index(line.group)))


def _of_author(
    vehicle: Vehicle, faults: Mapping[str, Fault], named: ComplaintPatterns
) -> Said | None:
    """A complaint in the author's words; None for one of fuses, which have a table of their own."""
    leads = [lead for pattern in named.patterns for lead in pattern.leads]
    signs = [sign for pattern in named.patterns for sign in pattern.signs]
    if any(sign.blows for sign in signs) or not leads:
        return None
    ids = dict.fromkeys(f for lead in leads for f in lead.faults)
    beside = {f: lead.beside for lead in leads for f in lead.faults}
    weights = {f: weight(faults[f], beside[f]) for f in ids if f in faults}
    loads = {x for s in signs for those in (*s.dead, *s.weak) for x in those}
    devices = [d for d in vehicle.devices.values() if any(x.id in loads for x in d.loads)]
    everything = any(sign.everything for sign in signs)
    group = ALL if everything else _group(devices)
    return Said(named.name, group, weights, frozenset(loads), named.causes)


def _computed(
    vehicle: Vehicle,
    faults: Mapping[str, Fault],
    effects: Mapping[str, Sequence[Effect]],
    drained: Iterable[str],
    said: set[str],
) -> list[Said]:
    """What every vehicle's driver may say: each thing that is seen to work, twins together."""
    found = []
    twins: dict[str, list[Device]] = {}
    for device in vehicle.devices.values():
        if visible_loads(device):
            key = " ".join(TWINS.sub("", device.title).split())
            twins.setdefault(key.casefold(), []).append(device)
    for key, devices in twins.items():
        title = " ".join(TWINS.sub("", devices[0].title).split()) or key
        name = say("{thing} dead or weak", thing=f"{title[:1].upper()}{title[1:]}")
        if all(d.kind == "starter" for d in devices):
            name = say("Starter does nothing, or turns slowly")
        weights = _upset(vehicle, faults, effects, devices)
        found.append(Said(name, _group(devices), weights, _loads(devices)))
    if FIRE not in said:
        engine = [d for d in vehicle.devices.values() if d.kind in TURNS or _pumps(d)]
        name = say("Cranks but does not fire")
        weights = _upset(vehicle, faults, effects, engine, every=True)
        found.append(Said(name, FIRE, weights, _loads(engine)))
    not_charged = {f: weight(faults[f]) for f in drained if f in faults}
    name = say("Battery not charged while the engine runs")
    found.append(Said(name, CHARGING, not_charged, frozenset()))
    return found


def _loads(devices: Iterable[Device]) -> frozenset[str]:
    return frozenset(load.id for device in devices for load in device.loads)


def _pumps(device: Device) -> bool:
    return device.kind == "motor" and device.written.caution == "fuel"


def _upset(
    vehicle: Vehicle,
    faults: Mapping[str, Fault],
    effects: Mapping[str, Sequence[Effect]],
    devices: Sequence[Device],
    every: bool = False,
) -> dict[str, float]:
    """Faults that any of the devices fails by, less likely the more fails besides.

    With `every` all devices of one of their kinds have to be dead.
    """
    kind = {x.id: d.kind for d in devices for x in d.loads}
    device_of = {x.id: d.id for d in vehicle.devices.values() for x in visible_loads(d)}
    count = {k: sum(d.kind == k for d in devices) for k in {*kind.values()}}
    own = {d.id for d in devices}
    weights = {}
    for name, fault in faults.items():
        hit = [e for e in effects[name] if e.load in kind and e.effect in FAILS]
        if every:
            dead: dict[str, set[str]] = {}
            for e in hit:
                dead.setdefault(kind[e.load], set()).add(e.load.partition(".")[0])
            hit = hit if any(len(those) == count[k] for k, those in dead.items()) else []
        if hit:
            states = {e.state for e in hit}
            upset = {device_of.get(e.load) for e in effects[name] if e.state in states}
            weights[name] = weight(fault, len(upset - own - {None}))
    return weights


def _group(devices: Sequence[Device]) -> str:
    kinds = {d.kind for d in devices}
    if "starter" in kinds:
        return CRANK
    if kinds & {*TURNS}:
        return FIRE
    if kinds <= {"lamp"}:
        return LAMP
    return FAN if kinds <= {"motor"} else OTHER


def _entry(
    asking: Asking,
    faults: Mapping[str, Fault],
    effects: Mapping[str, Sequence[Effect]],
    symptoms: Sequence[Symptom],
    line: Said,
) -> Entry:
    likely = line.likely
    ids = list(likely)
    suspects = [faults[f] for f in ids]
    hits = [e for f in ids for e in effects[f] if e.load in line.loads or not line.loads]
    shown_in = {e.state for e in hits} or {asking.vehicle.states[0]}
    questions = asking.about(suspects, shown_in, effects=lambda fault: effects[fault.id])
    weights = np.array([likely[f] for f in ids])
    steps = measure(ids, weights, questions, [fault.branch for fault in suspects])
    kept = likeliest_steps(steps, likely, MOST_STEPS)
    state = next((s.state for s in symptoms if ids[0] in s.suspects), asking.vehicle.states[0])
    left_out = len(line.weights) - len(likely)
    return Entry(line.name, line.group, tuple(ids), kept, line.causes, state, left_out)


def likeliest_steps(
    steps: Sequence[Step], weights: Mapping[str, float], most: int
) -> tuple[Step, ...]:
    """The steps that are reached most often, so many of them, in their order."""
    if not steps:
        return ()
    by_suspects = {frozenset((*s.low, *s.high)): s for s in steps}

    def reached(step: Step) -> float:
        return fsum(weights[f] for f in (*step.low, *step.high))

    kept: list[Step] = []
    open_ends = [steps[0]]
    while open_ends and len(kept) < most:
        step = max(open_ends, key=reached)
        open_ends.remove(step)
        kept.append(step)
        sides = (frozenset(step.low), frozenset(step.high))
        open_ends += [by_suspects[side] for side in sides if side in by_suspects]
    return tuple(step for step in steps if step in kept)

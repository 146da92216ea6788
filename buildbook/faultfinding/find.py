"""Every single fault with what it does, grouped by what is seen, and what to measure next."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from buildbook.electrical.model import Solved
from buildbook.faultfinding.breaking import is_worse
from buildbook.faultfinding.charging import charging_faults
from buildbook.faultfinding.complaints import called, complaint_patterns
from buildbook.faultfinding.crossed import CROSSED, crossed_sides, crossings
from buildbook.faultfinding.effects import SeenLoads, effects_in_state, seen_loads
from buildbook.faultfinding.entries import Said, entries, said_by_drivers
from buildbook.faultfinding.faults import likeliest_first, weight
from buildbook.faultfinding.model import (
    Blown,
    Charging,
    ComplaintPatterns,
    Effect,
    Fault,
    Faultfinding,
    Step,
    Symptom,
)
from buildbook.faultfinding.questions import Asking
from buildbook.faultfinding.sensor_levels import ends
from buildbook.faultfinding.shorts import part_shorts
from buildbook.faultfinding.silent import unseen
from buildbook.faultfinding.sweep import Sweep, sweep
from buildbook.faultfinding.symptom_titles import (
    Names,
    blows_words,
    charging_title,
    load_names,
    made_different,
    slugs,
    symptom_title,
    trips_words,
)
from buildbook.faultfinding.tree import LEAST_GAP_V, measure
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.tasks import Begin, here
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import ENGLISH, in_language, mark, say

ODD = mark("Several things weak or odd at once, and no other line fits: a poor ground")
"""Title of the symptom of grounds at resistances of which no other symptom tells."""

WRONG = "wrong reading"
"""Effects of pins changed over on what works, or is read, in another's place."""

NOT_CHARGED = "not charged"
"""What a fault does to a battery while the engine runs."""

GROUND_GAP_V = 0.1
"""Volts across a ground that a meter tells from none. Our choice."""

Signature = tuple[tuple[str, str, str], ...]
HOT = mark("A joint is hot or smells, and all works")
SMELT: Signature = (("", "", "hot"),)
"""Signature of poor joints that are seen by nothing but their heat."""


def find_faults(
    vehicle: Vehicle, harness: Harness, sizing: Sizing, solved: Solved, begin: Begin = here
) -> Faultfinding:
    """Return every single fault with its effects, and the symptoms with their readings.

    Swapped pins and plugs are made at the bench: they have effects, but no symptom of their own.
    `begin` is as of `sweep`.
    """
    swept = sweep(vehicle, harness, sizing, solved, begin, everywhere=False)
    return found_in(vehicle, harness, solved, swept)


def found_in(vehicle: Vehicle, harness: Harness, solved: Solved, swept: Sweep) -> Faultfinding:
    """As `find_faults`, of a vehicle whose parts were broken before."""
    car = _car(vehicle, harness, swept, parts=True)
    faults = {fault.id: fault for fault in swept.faults}
    symptoms, named = _told(car)
    seen_of = {f for f, found in car.effects.items() if found} | swept.blown.keys()
    seen_of |= car.charging.keys() | swept.heat.keys()
    silent = tuple(f for f in car.effects if f not in seen_of)
    because = tuple(unseen(vehicle, harness, solved, faults[f]) for f in silent)
    return Faultfinding(
        faults,
        car.effects,
        symptoms,
        silent,
        swept.blown,
        because,
        named,
        swept.unsettled,
        swept.unsure,
        car.charging,
        swept.heat,
        entries(car.asking, car.effects, symptoms, _said(car, symptoms, named)),
    )


def symptoms_of(
    vehicle: Vehicle, harness: Harness, swept: Sweep
) -> tuple[tuple[Symptom, ...], tuple[ComplaintPatterns, ...], tuple[Said, ...]]:
    """Symptoms, complaints and the trackside lines, without the questions that part suspects."""
    car = _car(vehicle, harness, swept, parts=False)
    symptoms, named = _told(car)
    return symptoms, named, _said(car, symptoms, named)


def _said(
    car: _Car, symptoms: Sequence[Symptom], named: Sequence[ComplaintPatterns]
) -> tuple[Said, ...]:
    """The lines of the trackside page."""
    faults, charging = car.swept.faults, car.charging
    return said_by_drivers(car.vehicle, faults, car.effects, charging, symptoms, named)


def _car(vehicle: Vehicle, harness: Harness, swept: Sweep, parts: bool) -> _Car:
    seen = seen_loads(vehicle, swept.nodes, swept.reference, swept.unsure)
    effects = _effects(vehicle, swept, seen)
    charging = charging_faults(vehicle, swept.nodes, swept.healthy, swept.faulted, swept.faults)
    asking = Asking(vehicle, harness, swept, ends(vehicle, harness, swept))
    return _Car(vehicle, harness, swept, effects, charging, asking, parts)


def _told(car: _Car) -> tuple[tuple[Symptom, ...], tuple[ComplaintPatterns, ...]]:
    """The symptoms, and the complaints with the symptoms that they may lead to."""
    swept = car.swept
    groups: dict[Signature, list[Fault]] = {}
    for fault in swept.faults:
        drained = car.charging.get(fault.id, ())
        signature = _signature(car.effects[fault.id], swept.blown.get(fault.id, ()), drained)
        if fault.mode != "swap" and (signature or fault.id in swept.heat):
            groups.setdefault(signature or SMELT, []).append(fault)
    symptoms = _symptoms(car, groups)
    faults = {fault.id: fault for fault in swept.faults}
    named = complaint_patterns(
        car.vehicle,
        _works_in(car.vehicle, swept),
        car.effects,
        swept.blown,
        faults,
        symptoms,
        car.parted_by_symptom,
    )
    return called(symptoms, named), named


def _effects(vehicle: Vehicle, swept: Sweep, seen: SeenLoads) -> dict[str, tuple[Effect, ...]]:
    found: dict[str, list[Effect]] = {fault.id: [] for fault in swept.faults}
    crossed_by = crossings(vehicle, swept.faults)
    for state in vehicle.states:
        healthy, faulted = swept.healthy[state], swept.faulted[state]
        by_fault = effects_in_state(state, seen, healthy, faulted, swept.faults)
        for fault, effects in zip(swept.faults, by_fault, strict=True):
            found[fault.id] += crossed_sides(effects) if fault.mode == "swap" else effects
        works = _at_work(state, seen, healthy)
        for name, crossed in crossed_by.items():
            known = {effect.load for effect in found[name] if effect.state == state}
            found[name] += [
                Effect(x.load, state, WRONG if x.is_read else CROSSED, works[x.load], works[x.load])
                for x in crossed
                if state in x.states and x.load in works.keys() - known
            ]
    return {fault: tuple(effects) for fault, effects in found.items()}


def _at_work(state: str, seen: SeenLoads, healthy: np.ndarray) -> dict[str, float]:
    """Loads that work in a state while all is well, with the volts across them."""
    dead = np.zeros((1, len(healthy)))
    effects = effects_in_state(state, seen, healthy, dead, [Fault("", "", "", "")])[0]
    return {effect.load: effect.healthy_v for effect in effects}


def _signature(
    effects: Sequence[Effect], blown: Sequence[Blown], charging: Sequence[Charging]
) -> Signature:
    """What is seen; of a short only which fuse opens, and when: the rest follows from that."""
    if blown:
        return tuple(sorted({(b.fuse, b.state, "blows") for b in blown}))
    drained = [("battery", c.state, NOT_CHARGED) for c in charging]
    return tuple(sorted([*drained, *((e.load, e.state, e.effect) for e in effects)]))


@dataclass(frozen=True)
class _Car:
    """What symptoms are made from."""

    vehicle: Vehicle
    harness: Harness
    swept: Sweep
    effects: dict[str, tuple[Effect, ...]]
    charging: dict[str, tuple[Charging, ...]]
    asking: Asking
    parts: bool = True
    """Whether questions are sought that part the suspects."""

    def seen_in(self, fault: Fault) -> set[str]:
        """States in which a fault is seen."""
        found = {hot.state for hot in self.swept.heat.get(fault.id, ())}
        found |= {charging.state for charging in self.charging.get(fault.id, ())}
        return found | {effect.state for effect in self.effects[fault.id]}

    def parted_by_symptom(
        self, faults: Sequence[Fault], behind: Mapping[str, str]
    ) -> tuple[Step, ...]:
        """The readings that part faults until those left have one symptom behind them."""
        return self.parted(faults, LEAST_GAP_V, [behind[fault.id] for fault in faults], looks=True)

    def parted(
        self,
        faults: Sequence[Fault],
        gap_v: float,
        parts: Sequence[str] = (),
        feels: bool = False,
        looks: bool = False,
    ) -> tuple[Step, ...]:
        """The questions that part faults, as far as answers can.

        With `feels` also what is hot, with `looks` what else works. Those of one part are not told
        apart: by default a part is the branch that fails.
        """
        if not self.parts:
            return ()
        shown_in = {state for fault in faults for state in self.seen_in(fault)}
        weights = np.array([weight(fault) for fault in faults])
        ids, branches = [fault.id for fault in faults], [fault.branch for fault in faults]
        effects = (lambda fault: self.effects[fault.id]) if looks else None
        questions = self.asking.about(faults, shown_in, gap_v, effects, feels)
        return measure(ids, weights, questions, parts or branches)


def _symptoms(car: _Car, groups: Mapping[Signature, Sequence[Fault]]) -> tuple[Symptom, ...]:
    works_in, names = _works_in(car.vehicle, car.swept), load_names(car.vehicle)
    found: list[Symptom] = []
    titles: list[Callable[[], str]] = []
    odd: list[Fault] = []
    for signature, group in groups.items():
        suspects = likeliest_first(group)
        shown = car.effects[suspects[0].id]
        if signature == SMELT:
            found.append(_symptom(car, suspects, (), LEAST_GAP_V, hot=True))
            titles.append(partial(say, HOT))
        elif all(is_worse(fault) for fault in suspects):
            odd += suspects
        elif any(what == "blows" for _, _, what in signature):
            shorted = _shorted(car.vehicle, car.harness, signature, suspects, shown)
            found.append(shorted)
            titles.append(partial(_shorted_title, car.vehicle, shorted))
        else:
            drained = car.charging.get(suspects[0].id, ())
            found.append(_symptom(car, suspects, shown, LEAST_GAP_V))
            titles.append(partial(_seen_title, shown, drained, names, works_in))
    if odd:
        found.append(_symptom(car, likeliest_first(odd), (), GROUND_GAP_V))
        titles.append(partial(say, ODD))
    return _named(found, titles)


def _named(found: Sequence[Symptom], titles: Sequence[Callable[[], str]]) -> tuple[Symptom, ...]:
    """The symptoms with their titles; their ids are of English ones in every language."""
    said = made_different([title() for title in titles])
    with in_language(ENGLISH):
        ids = slugs(made_different([title() for title in titles]))
    named = [
        replace(symptom, id=slug, title=title)
        for symptom, title, slug in zip(found, said, ids, strict=True)
    ]
    return tuple(sorted(named, key=lambda s: (-len({e.load for e in s.effects}), s.title)))


def _seen_title(
    shown: Sequence[Effect],
    drained: Sequence[Charging],
    names: Names,
    works_in: Mapping[str, frozenset[str]],
) -> str:
    return charging_title(symptom_title(shown, names, works_in) if shown else "", drained)


def _symptom(
    car: _Car,
    suspects: Sequence[Fault],
    shown: tuple[Effect, ...],
    gap_v: float,
    hot: bool = False,
) -> Symptom:
    states = {state for fault in suspects for state in car.seen_in(fault)}
    ids = tuple(fault.id for fault in suspects)
    parted = car.parted(suspects, gap_v, feels=hot)
    steps = part_shorts(car.vehicle, car.harness, suspects, parted)
    drained = car.charging.get(suspects[0].id, ())
    state = _easiest(car.vehicle, states)
    return Symptom("", "", state, shown, ids, steps, charging=drained, hot=hot)


def _shorted(
    vehicle: Vehicle,
    harness: Harness,
    signature: Signature,
    suspects: Sequence[Fault],
    shown: tuple[Effect, ...],
) -> Symptom:
    """The symptom of faults that blow the same fuses and trip the same outputs, or burn on."""
    opened = dict.fromkeys(opener for opener, _, _ in signature if opener)
    blows = tuple(opener for opener in opened if opener in vehicle.devices)
    trips = tuple(opener for opener in opened if opener not in vehicle.devices)
    burns = any(not fuse for fuse, _, _ in signature)
    states = tuple(dict.fromkeys(state for _, state, _ in signature))
    return Symptom(
        "",
        "",
        _easiest(vehicle, states),
        shown,
        tuple(f.id for f in suspects),
        part_shorts(vehicle, harness, suspects, ()),
        blows,
        states,
        trips,
        burns,
    )


def _shorted_title(vehicle: Vehicle, symptom: Symptom) -> str:
    said = [blows_words(symptom.blows)] if symptom.blows else []
    said += [trips_words(symptom.trips)] if symptom.trips else []
    said += [say("a cable smokes, and no fuse stops it")] if symptom.burns else []
    text = "; ".join(said)
    return text[:1].upper() + text[1:] + _only_in(vehicle, symptom.blows_in)


def _only_in(vehicle: Vehicle, states: Sequence[str]) -> str:
    return "" if {*states} >= {*vehicle.states} else f" ({', '.join(states)})"


def _easiest(vehicle: Vehicle, states: Collection[str]) -> str:
    """The state in which to look: the engine stopped where that shows it."""
    in_order = (state for state in vehicle.states if state in states)
    return min(in_order, key=lambda s: vehicle.description.states[s].engine)


def _works_in(vehicle: Vehicle, swept: Sweep) -> dict[str, frozenset[str]]:
    """Load id -> states in which it works when all is well."""
    seen = seen_loads(vehicle, swept.nodes, swept.reference, swept.unsure)
    found: dict[str, set[str]] = {load.id: set() for load in seen.loads}
    for state, volts in swept.healthy.items():
        for load in _at_work(state, seen, volts):
            found[load].add(state)
    return {load: frozenset(states) for load, states in found.items()}

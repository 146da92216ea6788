"""Every single fault with what it does, grouped by what is seen, and what to measure next."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from buildbook.electrical.model import Solved
from buildbook.faultfinding.access import ENGINE_RUNNING, probe_places
from buildbook.faultfinding.breaking import is_worse
from buildbook.faultfinding.bus import LIVE, BusReadings, bus_readings
from buildbook.faultfinding.charging import charging_faults
from buildbook.faultfinding.complaints import called, complaint_patterns
from buildbook.faultfinding.crossed import crossings
from buildbook.faultfinding.effects import SeenLoads, effects_in_state, seen_loads
from buildbook.faultfinding.faults import likeliest_first, likelihood
from buildbook.faultfinding.model import Blown, Charging, Effect, Fault, Faultfinding, Step, Symptom
from buildbook.faultfinding.sensor_levels import Ends, ends
from buildbook.faultfinding.shorts import measure_ohms, part_shorts
from buildbook.faultfinding.silent import unseen
from buildbook.faultfinding.sweep import Sweep, sweep
from buildbook.faultfinding.symptom_titles import (
    charging_title,
    load_names,
    made_different,
    slugs,
    symptom_title,
)
from buildbook.faultfinding.tree import LEAST_GAP_V, Places, measure
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

ODD = "Several things weak or odd at once, and no other line fits: a poor ground"
"""Title of the symptom of grounds at resistances of which no other symptom tells."""

CROSSED, WRONG = "crossed", "wrong reading"
"""Effects of pins changed over on what works, or is read, in another's place."""

NOT_CHARGED = "not charged"
"""What a fault does to a battery while the engine runs."""

GROUND_GAP_V = 0.1
"""Volts across a ground that a meter tells from none. Our choice."""

Signature = tuple[tuple[str, str, str], ...]
HOT = "A joint is hot or smells, and all works"
SMELT: Signature = (("", "", "hot"),)
"""Signature of poor joints that are seen by nothing but their heat."""


def find_faults(vehicle: Vehicle, harness: Harness, sizing: Sizing, solved: Solved) -> Faultfinding:
    """Return every single fault with its effects, and the symptoms with their readings.

    Swapped pins and plugs are made at the bench: they have effects, but no symptom of their own.
    """
    swept = sweep(vehicle, harness, sizing, solved)
    seen = seen_loads(vehicle, swept.nodes, swept.reference, swept.unsure)
    effects = _effects(vehicle, swept, seen)
    faults = {fault.id: fault for fault in swept.faults}
    charging = charging_faults(vehicle, swept.nodes, swept.healthy, swept.faulted, swept.faults)
    groups: dict[Signature, list[Fault]] = {}
    for fault in swept.faults:
        drained = charging.get(fault.id, ())
        signature = _signature(effects[fault.id], swept.blown.get(fault.id, ()), drained)
        if fault.mode != "swap" and (signature or fault.id in swept.heat):
            groups.setdefault(signature or SMELT, []).append(fault)
    bus = bus_readings(vehicle, harness, solved, swept.faults)
    held = ends(vehicle, harness, swept)
    car = _Car(vehicle, harness, swept, effects, charging, bus, held)
    symptoms = _symptoms(car, groups)
    works_in = _works_in(vehicle, swept)
    named = complaint_patterns(
        vehicle, works_in, effects, swept.blown, faults, symptoms, car.parted_by_symptom
    )
    seen_of = {f for f, found in effects.items() if found} | swept.blown.keys()
    seen_of |= charging.keys() | swept.heat.keys()
    silent = tuple(f for f in effects if f not in seen_of)
    because = tuple(unseen(vehicle, harness, solved, faults[f]) for f in silent)
    symptoms = called(symptoms, named)
    return Faultfinding(
        faults,
        effects,
        symptoms,
        silent,
        swept.blown,
        because,
        named,
        swept.unsettled,
        swept.unsure,
        charging,
        swept.heat,
    )


def _effects(vehicle: Vehicle, swept: Sweep, seen: SeenLoads) -> dict[str, tuple[Effect, ...]]:
    found: dict[str, list[Effect]] = {fault.id: [] for fault in swept.faults}
    crossed_by = crossings(vehicle, swept.faults)
    for state in vehicle.states:
        healthy, faulted = swept.healthy[state], swept.faulted[state]
        by_fault = effects_in_state(state, seen, healthy, faulted, swept.faults)
        for fault, effects in zip(swept.faults, by_fault, strict=True):
            found[fault.id] += effects
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
    effects: Mapping[str, tuple[Effect, ...]]
    charging: Mapping[str, tuple[Charging, ...]]
    bus: BusReadings | None = None
    ends: Mapping[str, Ends] = field(default_factory=dict)
    """State -> lowest and highest volts of each fault, as sensors may stand."""

    def seen_in(self, fault: Fault) -> set[str]:
        """States in which a fault is seen."""
        found = {hot.state for hot in self.swept.heat.get(fault.id, ())}
        found |= {charging.state for charging in self.charging.get(fault.id, ())}
        return found | {effect.state for effect in self.effects[fault.id]}

    def parted_by_symptom(
        self, faults: Sequence[Fault], behind: Mapping[str, str]
    ) -> tuple[Step, ...]:
        """The readings that part faults until those left have one symptom behind them."""
        return self.parted(faults, LEAST_GAP_V, [behind[fault.id] for fault in faults])

    def parted(
        self, faults: Sequence[Fault], gap_v: float, parts: Sequence[str] = ()
    ) -> tuple[Step, ...]:
        """The readings that part faults, in the states in which any of them shows.

        A state in which one of them makes a relay buzz is left out where there is another. Those
        of one part are not told apart: by default a part is the branch that fails.
        """
        shown_in = {state for fault in faults for state in self.seen_in(fault)}
        states = [state for state in self.vehicle.states if state in shown_in]
        sure = [s for s in states if self.swept.sure((fault.id for fault in faults), s)]
        weights = np.array([likelihood(fault) for fault in faults])
        ids, branches = [fault.id for fault in faults], [fault.branch for fault in faults]
        places = replace(self.places(faults, sure or states), least_gap_v=gap_v)
        if self.bus is not None and any(fault.id in self.bus.broken for fault in faults):
            places = _with_bus(places, self.bus, faults)
        return measure(ids, weights, places, parts or branches)

    def places(self, faults: Sequence[Fault], states: Sequence[str]) -> Places:
        """Readings at every probe in some states."""
        index = {node: place for place, node in enumerate(self.swept.nodes)}
        found = probe_places(self.vehicle, self.harness).items()
        probes = [(node, index[node], trouble) for node, trouble in found if node in index]
        row_of = {fault.id: row for row, fault in enumerate(self.swept.faults)}
        rows = np.array([row_of[fault.id] for fault in faults])
        columns = np.array([place for _, place, _ in probes], dtype=np.intp)
        trouble = np.array([cost for _, _, cost in probes])
        written = self.vehicle.description.states
        lowest, highest = (
            np.concatenate([self.ends[s][end][np.ix_(rows, columns)] for s in states], axis=1)
            for end in (0, 1)
        )
        return Places(
            tuple(node for _ in states for node, _, _ in probes),
            tuple(state for state in states for _ in probes),
            np.concatenate(
                [trouble + (ENGINE_RUNNING if written[s].engine > 0 else 0.0) for s in states]
            ),
            lowest,
            most=highest,
        )


def _with_bus(places: Places, bus: BusReadings, faults: Sequence[Fault]) -> Places:
    """The places, volts on a bus that talks further down, and the ohms across it."""
    count = len(places.nodes)
    live = LIVE * np.array([node in bus.live for node in places.nodes])
    return replace(
        places,
        nodes=(*places.nodes, *bus.nodes),
        states=(*places.states, *([places.states[0]] * len(bus.nodes))),
        trouble=np.concatenate([places.trouble + live, bus.trouble]),
        readings=np.concatenate([places.readings, bus.of(faults)], axis=1),
        most=np.concatenate([places.highest, bus.of(faults)], axis=1),
        what=(*(["volts"] * count), *bus.what),
        others=(*([""] * count), *bus.others),
    )


def _symptoms(car: _Car, groups: Mapping[Signature, Sequence[Fault]]) -> tuple[Symptom, ...]:
    works_in, names = _works_in(car.vehicle, car.swept), load_names(car.vehicle)
    found: list[Symptom] = []
    odd: list[Fault] = []
    for signature, group in groups.items():
        suspects = likeliest_first(group)
        shown = car.effects[suspects[0].id]
        if signature == SMELT:
            smelt = _symptom(car, HOT, suspects, (), GROUND_GAP_V)
            found.append(replace(smelt, hot=True))
        elif all(is_worse(fault) for fault in suspects):
            odd += suspects
        elif any(what == "blows" for _, _, what in signature):
            found.append(_shorted(car.vehicle, car.harness, signature, suspects, shown))
        else:
            drained = car.charging.get(suspects[0].id, ())
            title = charging_title(symptom_title(shown, names, works_in) if shown else "", drained)
            found.append(_symptom(car, title, suspects, shown, LEAST_GAP_V))
    if odd:
        found.append(_symptom(car, ODD, odd, (), GROUND_GAP_V))
    titles = made_different([symptom.title for symptom in found])
    named = [
        replace(symptom, id=slug, title=title)
        for symptom, title, slug in zip(found, titles, slugs(titles), strict=True)
    ]
    return tuple(sorted(named, key=lambda s: (-len({e.load for e in s.effects}), s.title)))


def _symptom(
    car: _Car, title: str, suspects: Sequence[Fault], shown: tuple[Effect, ...], gap_v: float
) -> Symptom:
    states = {state for fault in suspects for state in car.seen_in(fault)}
    ids = tuple(fault.id for fault in suspects)
    steps = part_shorts(car.vehicle, car.harness, suspects, car.parted(suspects, gap_v))
    drained = car.charging.get(suspects[0].id, ())
    state = _easiest(car.vehicle, states)
    return Symptom("", title, state, shown, ids, steps, charging=drained)


def _shorted(
    vehicle: Vehicle,
    harness: Harness,
    signature: Signature,
    suspects: Sequence[Fault],
    shown: tuple[Effect, ...],
) -> Symptom:
    """The symptom of shorts that blow the same fuses, or that none stops."""
    blows = tuple(dict.fromkeys(fuse for fuse, _, _ in signature if fuse))
    burns = any(not fuse for fuse, _, _ in signature)
    states = tuple(dict.fromkeys(state for _, state, _ in signature))
    said = [f"blows {', '.join(blows)}"] if blows else []
    said += ["a cable smokes, and no fuse stops it"] if burns else []
    text = "; ".join(said)
    return Symptom(
        "",
        text[:1].upper() + text[1:] + _only_in(vehicle, states),
        _easiest(vehicle, states),
        shown,
        tuple(f.id for f in suspects),
        measure_ohms(vehicle, harness, suspects),
        blows,
        states,
        burns,
    )


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

"""Breaks every part in turn, groups what is seen, and finds what to measure next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildbook.electrical.model import Solved
from buildbook.electrical.network import build_network, network_ohms
from buildbook.faultfinding.access import ENGINE_RUNNING, probe_places
from buildbook.faultfinding.breaking import broken, joints_where_seen, volts_of
from buildbook.faultfinding.effects import Seen, effects_in_state, seen_loads
from buildbook.faultfinding.faults import (
    joint_faults,
    likeliest_first,
    likelihood,
    open_faults,
    short_faults,
    stuck_faults,
)
from buildbook.faultfinding.model import Blown, Effect, Fault, Faultfinding, Symptom
from buildbook.faultfinding.shorts import measure_ohms
from buildbook.faultfinding.silent import unseen
from buildbook.faultfinding.swaps import swap_faults
from buildbook.faultfinding.titles import load_names, made_different, slugs, symptom_title
from buildbook.faultfinding.tree import Places, measure
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

Signature = tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Sweep:
    """Node volts of every fault in every state: arrays of faults x nodes, last column zero."""

    faults: tuple[Fault, ...]
    nodes: tuple[str, ...]
    reference: str
    healthy: dict[str, np.ndarray]
    faulted: dict[str, np.ndarray]
    blown: dict[str, tuple[Blown, ...]]


def find_faults(vehicle: Vehicle, harness: Harness, sizing: Sizing, solved: Solved) -> Faultfinding:
    """Return every single fault with its effects, and the symptoms with their readings.

    Swapped pins and plugs are made at the bench: they have effects, but no symptom of their own.
    """
    swept = sweep(vehicle, harness, sizing, solved)
    seen = seen_loads(vehicle, swept.nodes, swept.reference)
    effects = _effects(vehicle, swept, seen)
    faults = {fault.id: fault for fault in swept.faults}
    groups: dict[Signature, list[Fault]] = {}
    for fault in swept.faults:
        signature = _signature(effects[fault.id], swept.blown.get(fault.id, ()))
        if signature and fault.mode != "swap":
            groups.setdefault(signature, []).append(fault)
    symptoms = _symptoms(vehicle, harness, swept, effects, groups)
    silent = tuple(f for f, found in effects.items() if not found and f not in swept.blown)
    because = tuple(unseen(vehicle, harness, solved, faults[f]) for f in silent)
    return Faultfinding(faults, effects, symptoms, silent, swept.blown, because)


def sweep(vehicle: Vehicle, harness: Harness, sizing: Sizing, solved: Solved) -> Sweep:
    """Break every part of the network in every way, in every state."""
    network = build_network(vehicle, harness, *network_ohms(solved))
    branches = [element.branch for element in network.elements]
    faults = [*open_faults(vehicle, harness, branches).values(), *stuck_faults(vehicle)]
    faults += [*short_faults(harness), *swap_faults(vehicle, harness)]
    parts = broken(vehicle, harness, sizing, network, faults)
    healthy = {
        name: np.array([*(state.healthy.volts[node] for node in network.nodes), 0.0])
        for name, state in parts.plain.items()
    }
    seen = seen_loads(vehicle, network.nodes, network.reference)

    def visible(state: str, volts: np.ndarray, tried: Sequence[Fault]) -> list[bool]:
        return [bool(x) for x in effects_in_state(state, seen, healthy[state], volts, tried)]

    faults += joints_where_seen(vehicle, parts, joint_faults(vehicle, harness, branches), visible)
    faulted, blown = {}, dict[str, tuple[Blown, ...]]()
    for state in parts.plain:
        faulted[state], opened = volts_of(vehicle, parts, state, faults)
        for fault, found in opened.items():
            blown[fault] = (*blown.get(fault, ()), *found)
    return Sweep(tuple(faults), network.nodes, network.reference, healthy, faulted, blown)


def _effects(vehicle: Vehicle, swept: Sweep, seen: Seen) -> dict[str, tuple[Effect, ...]]:
    found: dict[str, list[Effect]] = {fault.id: [] for fault in swept.faults}
    for state in vehicle.states:
        healthy, faulted = swept.healthy[state], swept.faulted[state]
        by_fault = effects_in_state(state, seen, healthy, faulted, swept.faults)
        for fault, effects in zip(swept.faults, by_fault, strict=True):
            found[fault.id] += effects
    return {fault: tuple(effects) for fault, effects in found.items()}


def _signature(effects: Sequence[Effect], blown: Sequence[Blown]) -> Signature:
    """What is seen; of a short only which fuse opens, and when: the rest follows from that."""
    if blown:
        return tuple(sorted({(b.fuse, b.state, "blows") for b in blown}))
    return tuple(sorted((e.load, e.state, e.effect) for e in effects))


def _symptoms(
    vehicle: Vehicle,
    harness: Harness,
    swept: Sweep,
    effects: Mapping[str, tuple[Effect, ...]],
    groups: Mapping[Signature, Sequence[Fault]],
) -> tuple[Symptom, ...]:
    row_of = {fault.id: row for row, fault in enumerate(swept.faults)}
    probes = _probes(vehicle, harness, swept)
    works_in = _works_in(vehicle, swept)
    names = load_names(vehicle)
    found = []
    for signature, group in groups.items():
        suspects = likeliest_first(group)
        shown = effects[suspects[0].id]
        ids = tuple(fault.id for fault in suspects)
        if any(what == "blows" for _, _, what in signature):
            found.append(_shorted(vehicle, harness, signature, suspects, shown))
            continue
        rows = np.array([row_of[fault.id] for fault in suspects])
        weights = np.array([likelihood(fault) for fault in suspects])
        states = tuple(dict.fromkeys(effect.state for effect in shown))
        steps = measure(ids, weights, _places(vehicle, swept, probes, rows, states))
        title = symptom_title(shown, names, works_in)
        found.append(Symptom("", title, _easiest(vehicle, states), shown, ids, steps))
    titles = made_different([symptom.title for symptom in found])
    named = [
        replace(symptom, id=slug, title=title)
        for symptom, title, slug in zip(found, titles, slugs(titles), strict=True)
    ]
    return tuple(sorted(named, key=lambda s: (-len({e.load for e in s.effects}), s.title)))


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
        "", text[:1].upper() + text[1:] + _only_in(vehicle, states), _easiest(vehicle, states),
        shown, tuple(f.id for f in suspects), measure_ohms(vehicle, harness, suspects),
        blows, states, burns,
    )  # fmt: skip


def _only_in(vehicle: Vehicle, states: Sequence[str]) -> str:
    return "" if {*states} >= {*vehicle.states} else f" ({', '.join(states)})"


def _probes(vehicle: Vehicle, harness: Harness, swept: Sweep) -> list[tuple[str, int, float]]:
    index = {node: place for place, node in enumerate(swept.nodes)}
    places = probe_places(vehicle, harness).items()
    return [(node, index[node], trouble) for node, trouble in places if node in index]


def _places(
    vehicle: Vehicle,
    swept: Sweep,
    probes: Sequence[tuple[str, int, float]],
    rows: np.ndarray,
    states: Sequence[str],
) -> Places:
    """Readings at every probe in the states that show the symptom."""
    columns = np.array([place for _, place, _ in probes], dtype=np.intp)
    trouble = np.array([cost for _, _, cost in probes])
    written = vehicle.description.states
    return Places(
        tuple(node for _ in states for node, _, _ in probes),
        tuple(state for state in states for _ in probes),
        np.concatenate(
            [trouble + (ENGINE_RUNNING if written[s].engine > 0 else 0.0) for s in states]
        ),
        np.concatenate([swept.faulted[s][np.ix_(rows, columns)] for s in states], axis=1),
    )


def _easiest(vehicle: Vehicle, states: Sequence[str]) -> str:
    """The state in which to look: the engine stopped where that shows it."""
    in_order = (state for state in vehicle.states if state in states)
    return min(in_order, key=lambda s: vehicle.description.states[s].engine)


def _works_in(vehicle: Vehicle, swept: Sweep) -> dict[str, frozenset[str]]:
    """Load id -> states in which it works when all is well."""
    seen = seen_loads(vehicle, swept.nodes, swept.reference)
    found: dict[str, set[str]] = {load.id: set() for load in seen.loads}
    for state, volts in swept.healthy.items():
        dead = np.zeros((1, len(volts)))
        for effect in effects_in_state(state, seen, volts, dead, [Fault("", "", "", "")])[0]:
            found[effect.load].add(state)
    return {load: frozenset(states) for load, states in found.items()}

"""Breaks every part in turn, groups what is seen, and finds what to measure next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from buildbook.electrical.faults import StateNetwork, state_networks
from buildbook.electrical.model import Solved
from buildbook.electrical.network import build_network, network_ohms
from buildbook.faultfinding.access import ENGINE_RUNNING, probe_places
from buildbook.faultfinding.effects import Seen, effects_in_state, seen_loads
from buildbook.faultfinding.faults import LIKELIHOOD, likeliest_first, open_faults, opened_by
from buildbook.faultfinding.model import Effect, Fault, Faultfinding, Symptom
from buildbook.faultfinding.titles import load_names, made_different, slugs, symptom_title
from buildbook.faultfinding.tree import Places, measure
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle

NO_CURRENT_A = 1e-11
"""Below this, opening a branch moves no node by more than 10 mV through 1 Gohm."""

Signature = tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Sweep:
    """Node volts of every fault in every state: arrays of faults x nodes, last column zero."""

    faults: tuple[Fault, ...]
    nodes: tuple[str, ...]
    reference: str
    healthy: dict[str, np.ndarray]
    faulted: dict[str, np.ndarray]


def find_faults(vehicle: Vehicle, harness: Harness, sizing: Sizing, solved: Solved) -> Faultfinding:
    """Return every single open fault with its effects, and the symptoms with their readings."""
    swept = sweep(vehicle, harness, solved)
    seen = seen_loads(vehicle, swept.nodes, swept.reference)
    effects = _effects(vehicle, swept, seen)
    faults = {fault.id: fault for fault in swept.faults}
    groups: dict[Signature, list[Fault]] = {}
    for fault in swept.faults:
        if effects[fault.id]:
            groups.setdefault(_signature(effects[fault.id]), []).append(fault)
    symptoms = _symptoms(vehicle, harness, swept, effects, list(groups.values()))
    silent = tuple(fault for fault, found in effects.items() if not found)
    return Faultfinding(faults, effects, symptoms, silent)


def sweep(vehicle: Vehicle, harness: Harness, solved: Solved) -> Sweep:
    """Open every branch of the network in every state."""
    wire_ohms, fuse_ohms = network_ohms(solved)
    network = build_network(vehicle, harness, wire_ohms, fuse_ohms)
    states = state_networks(vehicle, harness, wire_ohms, fuse_ohms)
    branches = [element.branch for element in network.elements]
    faults = tuple(open_faults(vehicle, harness, branches).values())
    nodes = network.nodes
    healthy = {
        name: np.array([*(state.healthy.volts[node] for node in nodes), 0.0])
        for name, state in states.items()
    }
    opens = [opened_by(vehicle, fault) for fault in faults]
    faulted = {name: _opened(state, opens) for name, state in states.items()}
    return Sweep(faults, nodes, network.reference, healthy, faulted)


def _opened(state: StateNetwork, opens: Sequence[frozenset[str]]) -> np.ndarray:
    """Node volts for each set of opened branches; what carries no current changes nothing."""
    healthy = np.array([*(state.healthy.volts[node] for node in state.nodes), 0.0])
    volts = np.tile(healthy, (len(opens), 1))
    carrying = [
        row
        for row, branches in enumerate(opens)
        if any(abs(state.healthy.current_a.get(b, 0.0)) >= NO_CURRENT_A for b in branches)
    ]
    opened = state.open_each([opens[row] for row in carrying])
    for row, found in zip(carrying, opened, strict=True):
        volts[row, :-1] = found
    return volts


def _effects(vehicle: Vehicle, swept: Sweep, seen: Seen) -> dict[str, tuple[Effect, ...]]:
    found: dict[str, list[Effect]] = {fault.id: [] for fault in swept.faults}
    for state in vehicle.states:
        healthy, faulted = swept.healthy[state], swept.faulted[state]
        by_fault = effects_in_state(state, seen, healthy, faulted, swept.faults)
        for fault, effects in zip(swept.faults, by_fault, strict=True):
            found[fault.id] += effects
    return {fault: tuple(effects) for fault, effects in found.items()}


def _signature(effects: Sequence[Effect]) -> Signature:
    return tuple(sorted((e.load, e.state, e.effect) for e in effects))


def _symptoms(
    vehicle: Vehicle,
    harness: Harness,
    swept: Sweep,
    effects: Mapping[str, tuple[Effect, ...]],
    groups: Sequence[Sequence[Fault]],
) -> tuple[Symptom, ...]:
    row_of = {fault.id: row for row, fault in enumerate(swept.faults)}
    probes = _probes(vehicle, harness, swept)
    works_in = _works_in(vehicle, swept)
    names = load_names(vehicle)
    found = []
    for group in groups:
        suspects = likeliest_first(group)
        shown = effects[suspects[0].id]
        rows = np.array([row_of[fault.id] for fault in suspects])
        weights = np.array([LIKELIHOOD[fault.kind] for fault in suspects])
        states = tuple(dict.fromkeys(effect.state for effect in shown))
        ids = tuple(fault.id for fault in suspects)
        steps = measure(ids, weights, _places(vehicle, swept, probes, rows, states))
        title = symptom_title(shown, names, works_in)
        found.append(Symptom("", title, _easiest(vehicle, states), shown, ids, steps))
    titles = made_different([symptom.title for symptom in found])
    named = [
        replace(symptom, id=slug, title=title)
        for symptom, title, slug in zip(found, titles, slugs(titles), strict=True)
    ]
    return tuple(sorted(named, key=lambda s: (-len({e.load for e in s.effects}), s.title)))


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
    return min(states, key=lambda s: vehicle.description.states[s].engine)


def _works_in(vehicle: Vehicle, swept: Sweep) -> dict[str, frozenset[str]]:
    """Load id -> states in which it works when all is well."""
    seen = seen_loads(vehicle, swept.nodes, swept.reference)
    found: dict[str, set[str]] = {load.id: set() for load in seen.loads}
    for state, volts in swept.healthy.items():
        dead = np.zeros((1, len(volts)))
        for effect in effects_in_state(state, seen, volts, dead, [Fault("", "", "", "")])[0]:
            found[effect.load].add(state)
    return {load: frozenset(states) for load, states in found.items()}

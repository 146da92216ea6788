"""Node volts of a vehicle with each of its faults, in every state."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import TypeVar

import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.faults import (
    SHORT_OHMS,
    StateNetwork,
    bridged,
    networks_of,
    settle_everywhere,
)
from buildbook.electrical.model import Solved
from buildbook.electrical.network import Network
from buildbook.faultfinding.faults import case_of, opened_by, short_bridge
from buildbook.faultfinding.model import Blown, Fault, Hot, Unsettled
from buildbook.faultfinding.openers_in_state import Openers
from buildbook.faultfinding.swaps import swap_bridges
from buildbook.harness.model import Harness
from buildbook.sizing.fuse_rating import derating
from buildbook.sizing.model import Sizing
from buildbook.sizing.openers import family_of
from buildbook.sizing.opening_time import surely_opens_a
from buildbook.tasks import Begin, Task, here
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import say

Pair = TypeVar("Pair")
NO_CURRENT_A = 1e-13
"""Below this, opening a branch moves no node by more than 0.1 mV through 1 Gohm."""

NO_VOLTS = 1e-4
"""A joint that takes less, or a wire this near the body's voltage, moves no node by more."""

LADDER_OHM = (0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0)
"""Resistances of a bad joint that are tried: from a dirty stud to a contact that hangs on."""

WORSE = " at "
"""Stands in the id of a joint before a resistance above that at which it is first seen."""

HOT = "hot "
"""Begins the id of a joint at a resistance at which it is hot and nothing else is seen."""

SEEN_V = 0.1
"""What a joint must lose at its healthy current before anybody could see it."""

BURNS_A = 50.0
"""A short that goes on taking more burns its cable. Our choice: no output or sensor supply of a
controller gives as much, and every battery does."""

CROSSED = ("short", "swap")
"""Modes of faults that join what is not joined."""

ADDS = (*CROSSED, "stuck")
"""Modes of faults that let flow what did not."""

TOGETHER = 256
"""Swaps that share a network. With a few thousand, of many alike plugs at one place, nearly every
node may be joined to every other, and elimination takes a minute instead of a few seconds."""

SHORTED = 512
"""Shorts to the body that share a network: each is one branch more to the same node."""


@dataclass(frozen=True)
class Crossed:
    """Faults that join what is not joined, and a vehicle's networks with bridges for them all."""

    faults: frozenset[str]
    states: dict[str, StateNetwork]
    """Empty where no bridge has both its nodes."""


@dataclass(frozen=True)
class Broken:
    """The networks of a vehicle, whole, and with bridges for faults that need some.

    Each kind of bridge has a network of its own: what may be joined, though it seldom is, makes
    the elimination longer.
    """

    network: Network
    plain: dict[str, StateNetwork]
    crossed: tuple[Crossed, ...]
    opens_at_a: dict[str, float]
    """Fuse, or output that trips -> amps at which it is sure to open."""


def broken(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    network: Network,
    faults: Sequence[Fault],
    solved: Solved,
) -> Broken:
    """Prepare the networks, near the whole as `solved`; faults that need bridges bring theirs."""
    shorts = [fault for fault in faults if fault.mode == "short"]
    swaps = [fault for fault in faults if fault.mode == "swap"]
    some = [shorts[at : at + SHORTED] for at in range(0, len(shorts), SHORTED)] or [shorts]
    some += [swaps[at : at + TOGETHER] for at in range(0, len(swaps), TOGETHER)]
    crossed = tuple(_crossed(harness, network, those, solved) for those in some)
    return Broken(network, networks_of(network, solved), crossed, opening_currents(vehicle, sizing))


def _crossed(
    harness: Harness, network: Network, faults: Sequence[Fault], solved: Solved
) -> Crossed:
    bridges = bridges_of(harness, network, faults)
    states = networks_of(bridged(network, bridges), solved) if bridges else {}
    return Crossed(frozenset(fault.id for fault in faults), states)


def bridges_of(
    harness: Harness, network: Network, faults: Sequence[Fault]
) -> dict[str, tuple[str, str, float]]:
    """Branch id -> nodes and ohms of each short to the body and each pin in a wrong cavity."""
    nodes = {*network.nodes, network.reference}
    body = "chassis" if "chassis" in nodes else network.reference
    bridges: dict[str, tuple[str, str, float]] = {}
    for fault in faults:
        if fault.mode == "short":
            wire = harness.wires[fault.branch.partition(":")[2]]
            bridges[short_bridge(fault)] = (wire.a.node, body, SHORT_OHMS)
        elif fault.mode == "swap":
            bridges |= {
                name: bridge
                for name, bridge in swap_bridges(fault).items()
                if {*bridge[:2]} <= nodes
            }
    return bridges


def opening_currents(vehicle: Vehicle, sizing: Sizing) -> dict[str, float]:
    """Fuse, or output that trips -> least current at which it is sure to open, A.

    A fuse in the air where it sits.
    """
    fuses = {
        name: surely_opens_a(family_of(vehicle, name), fuse.rating_a)
        * derating(family_of(vehicle, name), fuse.ambient_c)
        for name, fuse in sizing.fuses.items()
        if fuse.rating_a
    }
    return fuses | {name: output.trips[0][0] for name, output in sizing.outputs.items()}


def joints_where_seen(
    vehicle: Vehicle,
    broken: Broken,
    joints: Sequence[Fault],
    visible: Callable[[str, np.ndarray, Sequence[Fault]], Sequence[bool]],
    hot: Callable[[str, np.ndarray, Sequence[Fault]], Collection[int]],
) -> list[Fault]:
    """Each joint with the least resistance of the ladder at which something is seen.

    `visible(state, volts, faults)` judges node volts; joints that never show keep the highest.
    One that is `hot`, by places in `faults`, before anything else is seen is there at that too.
    """
    waiting, found = list(joints), []
    warm: dict[str, Fault] = {}
    for ohms in LADDER_OHM:
        tried = [replace(joint, ohms=ohms) for joint in waiting]
        worth = [
            (state, [f for f in tried if abs(amps.get(f.branch, 0.0)) * ohms >= SEEN_V])
            for state, network in broken.plain.items()
            for amps in [network.healthy.current_a]
        ]
        seen: set[str] = set()
        pairs = [(state, fault) for state, faults in worth for fault in faults]
        for some in _few_at_once(pairs, len(broken.network.nodes)):
            cases = [case_of(vehicle, fault, state) for state, fault in some]
            settled = iter(settle_everywhere(broken.plain, cases)[0])
            for state, group in groupby(some, key=lambda pair: pair[0]):
                faults = [fault for _, fault in group]
                volts = np.pad([next(settled) for _ in faults], ((0, 0), (0, 1)))
                shown = visible(state, volts, faults)
                seen |= {f.id for f, yes in zip(faults, shown, strict=True) if yes}
                for place in hot(state, volts, faults):
                    warm.setdefault(faults[place].branch, faults[place])
        found += [f for f in tried if f.id in seen]
        waiting = [f for f in tried if f.id not in seen]
    first = {f.branch: f.ohms for f in found}
    hotter = [
        replace(f, id=f"{HOT}{branch}", title=say("{joint}, hot", joint=f.title))
        for branch, f in warm.items()
        if f.ohms < first.get(branch, math.inf)
    ]
    return found + waiting + hotter


def is_worse(fault: Fault) -> bool:
    """True for a joint at a resistance above that at which it is first seen."""
    return WORSE in fault.id


def worse_grounds(joints: Sequence[Fault]) -> list[Fault]:
    """Each ground on the body with the resistances above the one at which it is first seen."""
    return [
        replace(joint, id=f"{joint.id}{WORSE}{ohms:g} ohm", ohms=ohms)
        for joint in joints
        if joint.kind == "ground" and not joint.id.startswith(HOT)
        for ohms in LADDER_OHM
        if ohms > joint.ohms
    ]


WithFuses = tuple[list[np.ndarray], list[frozenset[str]], dict[str, list[Blown]]]
"""Volts of each case, its contacts that do not come to rest, and by fault the fuses that open."""
MOST_SENT = 12_000_000
"""Volts that other processes may send here: more would take more memory than time is worth."""
MOST_HELD = 6_000_000
"""Volts of all nodes that are held at once, beside those that are kept."""
MOST_EXACT = 40_000_000
"""Volts that are kept in double precision; more are in single, to some millionths of a volt."""


Hotness = Callable[[str, np.ndarray, Sequence[Fault]], Mapping[int, Hot]]
"""Place in the faults -> how hot, of poor joints that anybody notices by it, from the volts of all
nodes in a state, last column zero."""


@dataclass
class FaultVolts:
    """What faults do to a vehicle's volts, by state and by fault."""

    faults: Sequence[Fault]
    places: np.ndarray
    """Of the nodes that are kept, in those of the network."""
    hot: Hotness
    volts: dict[str, np.ndarray] = field(default_factory=dict)
    """State -> faults x nodes that are kept, last column zero."""
    heat: dict[str, dict[int, Hot]] = field(default_factory=dict)
    """State -> row -> how hot a poor joint gets."""
    blown: dict[str, list[Blown]] = field(default_factory=dict)
    unsettled: dict[str, list[Unsettled]] = field(default_factory=dict)

    def begin(self, broken: Broken) -> None:
        """Every fault as if nothing were broken."""
        kept = len(self.faults) * (len(self.places) + 1) * len(broken.plain)
        exact = np.float64 if kept <= MOST_EXACT else np.float32
        for state, plain in broken.plain.items():
            healthy = np.array([*(plain.healthy.volts[node] for node in plain.nodes), 0.0])
            healthy = healthy[[*self.places, -1]].astype(exact)
            self.volts[state] = np.tile(healthy, (len(self.faults), 1))
            self.heat[state] = {}

    def put(self, state: str, rows: Sequence[int], found: Sequence[np.ndarray]) -> None:
        """The volts of some faults in a state, at all nodes of the network."""
        if not rows:
            return
        whole = np.pad(found, ((0, 0), (0, 1)))
        self.volts[state][np.array(rows), :-1] = whole[:, self.places]
        warm = self.hot(state, whole, [self.faults[row] for row in rows])
        for place, row in enumerate(rows):
            self.heat[state].pop(row, None)
            if place in warm:
                self.heat[state][row] = warm[place]


def _few_at_once(pairs: Sequence[Pair], nodes: int) -> Iterator[Sequence[Pair]]:
    """Some of a sequence after the other, few enough for all volts of all to be held."""
    size = max(1, MOST_HELD // max(1, nodes))
    for first in range(0, len(pairs), size):
        yield pairs[first : first + size]


def volts_of(
    vehicle: Vehicle,
    broken: Broken,
    faults: Sequence[Fault],
    places: np.ndarray,
    hot: Hotness,
    begin: Begin = here,
) -> FaultVolts:
    """Volts of every fault in every state, the fuses that open, and what does not settle.

    `places` are the nodes to keep; `begin` is how the networks of pins that are crossed are worked
    out beside the others.
    """
    kept = FaultVolts(faults, places, hot)
    kept.begin(broken)
    simple: list[tuple[str, int]] = []
    for state, plain in broken.plain.items():
        simple += [
            (state, row)
            for row, fault in enumerate(faults)
            if fault.mode not in CROSSED and _matters(vehicle, plain, fault)
        ]
    nodes = len(broken.network.nodes)

    def begun(
        begin: Begin, states: Mapping[str, StateNetwork], those: Sequence[tuple[str, int]]
    ) -> Task[WithFuses]:
        tried = [(state, faults[row]) for state, row in those]
        return begin(_with_fuses, vehicle, states, tried, broken.opens_at_a)

    def put(those: Sequence[tuple[str, int]], task: Task[WithFuses]) -> None:
        settled, restless, opened = task.result()
        for fault, blown in opened.items():
            kept.blown.setdefault(fault, []).extend(blown)
        for (state, row), contacts in zip(those, restless, strict=True):
            if contacts:
                kept.unsettled.setdefault(faults[row].id, []).append(Unsettled.of(state, contacts))
        for state, group in groupby(zip(those, settled, strict=True), key=lambda x: x[0][0]):
            some = [(row, found) for (_, row), found in group]
            kept.put(state, [row for row, _ in some], [found for _, found in some])

    beside, later, sent = [], [], 0
    for crossed in broken.crossed:
        those = [
            (state, row)
            for state, network in crossed.states.items()
            for row, fault in enumerate(faults)
            if fault.id in crossed.faults and _alive(network, fault)
        ]
        sent += len(those) * (nodes + 1)
        if begin is not here and sent <= MOST_SENT:
            beside.append((those, begun(begin, crossed.states, those)))
        else:
            later.append((crossed.states, those))
    for some in _few_at_once(simple, nodes):
        put(some, begun(here, broken.plain, some))
    for those, task in beside:
        put(those, task)
    for states, those in later:
        for some in _few_at_once(those, nodes):
            put(some, begun(here, states, some))
    return kept


def _matters(vehicle: Vehicle, state: StateNetwork, fault: Fault) -> bool:
    """Whether a fault can change anything here: what carries no current changes nothing."""
    amps = state.healthy.current_a
    if fault.mode == "stuck":
        healthy = state.healthy.branches.get(fault.branch)
        return healthy is None or healthy.while_on_ohms is not None
    if fault.mode == "resistive":
        return abs(amps.get(fault.branch, 0.0)) * fault.ohms >= NO_VOLTS
    return any(abs(amps.get(b, 0.0)) >= NO_CURRENT_A for b in opened_by(vehicle, fault))


def _alive(state: StateNetwork, fault: Fault) -> bool:
    """Whether a fault can change anything here: a short to where the volts are alike does not."""
    if fault.mode == "swap":
        return True
    healthy = state.healthy.volts
    a, b = state.ends_of(short_bridge(fault))
    return abs(healthy[a] - healthy[b]) >= NO_VOLTS


def _with_fuses(
    vehicle: Vehicle,
    states: Mapping[str, StateNetwork],
    tried: Sequence[tuple[str, Fault]],
    opens_at_a: Mapping[str, float],
) -> WithFuses:
    """Settle, open the fuse or output that is furthest over, and again, until every one holds.

    It ends: each round opens one more of every case that goes on.
    """
    cases = [case_of(vehicle, fault, state) for state, fault in tried]
    found: list[np.ndarray] = [np.zeros(0)] * len(tried)
    over: list[list[Blown]] = [[] for _ in tried]
    live = list(range(len(tried)))
    openers = {name: Openers.of(state, opens_at_a) for name, state in states.items()}
    restless: list[frozenset[str]] = [frozenset()] * len(tried)
    while live:
        settled, contacts = settle_everywhere(states, [cases[i] for i in live])
        adds = [tried[i][1].mode in ADDS for i in live]
        while_on = _while_on(states, openers, [cases[i] for i in live], settled, adds)
        again = []
        for row, volts, on, unsettled in zip(live, settled, while_on, contacts, strict=True):
            found[row], restless[row] = volts, unsettled
            state, fault = tried[row]
            opens = None if on is None else openers[state].furthest_over(volts, on, cases[row])
            if opens is None:
                if (amps := openers[state].unstopped_a(states[state], fault, volts)) > BURNS_A:
                    over[row].append(Blown("", state, amps))
                continue
            name, amps = opens
            over[row].append(Blown(name, state, amps))
            branch = openers[state].branch_of[name]
            cases[row] = replace(cases[row], opened=cases[row].opened | {branch})
            again.append(row)
        live = again
    blown: dict[str, list[Blown]] = {}
    for (_, fault), those in zip(tried, over, strict=True):
        if those:
            blown.setdefault(fault.id, []).extend(those)
    return found, restless, blown


def _while_on(
    states: Mapping[str, StateNetwork],
    openers: Mapping[str, Openers],
    cases: Sequence[Case],
    settled: Sequence[np.ndarray],
    adds: Sequence[bool],
) -> list[np.ndarray | None]:
    """Volts of each case while every output that trips is on: those of its mean where none pulses.

    An output trips by what flows while it is on. None for a fault that adds no way for a current:
    it asks no more of anything that opens.
    """
    found = [volts if more else None for volts, more in zip(settled, adds, strict=True)]
    pulsing = [row for row, case in enumerate(cases) if adds[row] and openers[case.state].pulsed]
    on = [
        replace(cases[row], closed=cases[row].closed | openers[cases[row].state].pulsed)
        for row in pulsing
    ]
    for row, volts in zip(pulsing, settle_everywhere(states, on)[0] if on else [], strict=True):
        found[row] = volts
    return found

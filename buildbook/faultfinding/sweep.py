"""Breaks every part of a vehicle in every way, in every state: the node volts of each fault."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from buildbook.electrical.case import METER, Case
from buildbook.electrical.model import Solved
from buildbook.electrical.network import network_ohms
from buildbook.electrical.readings import SLOW, Readings, readings_of
from buildbook.electrical.sensing import sense
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import network_of
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.asked_nodes import asked_nodes
from buildbook.faultfinding.breaking import (
    broken,
    joints_where_seen,
    volts_of,
    worse_grounds,
)
from buildbook.faultfinding.bus import BusReadings, bus_readings
from buildbook.faultfinding.effects import effects_in_state, seen_loads
from buildbook.faultfinding.excited import settle_unexcited
from buildbook.faultfinding.faults import (
    joint_faults,
    open_faults,
    short_faults,
    stuck_faults,
)
from buildbook.faultfinding.heat import Joints
from buildbook.faultfinding.model import Blown, Fault, Hot, Unsettled
from buildbook.faultfinding.swaps import swap_faults
from buildbook.faultfinding.unsure import unsure_loads
from buildbook.harness.model import Harness
from buildbook.sizing.load_paths import cranking_states
from buildbook.sizing.model import Sizing
from buildbook.tasks import Begin, here
from buildbook.vehicle.model import Vehicle

RESTLESS = ("floating", "unsettled")
"""Kinds of reading that say nothing of a fault."""


@dataclass(frozen=True)
class Sweep:
    """Node volts of every fault in every state: arrays of faults x nodes, last column zero."""

    faults: tuple[Fault, ...]
    nodes: tuple[str, ...]
    reference: str
    healthy: dict[str, np.ndarray]
    faulted: dict[str, np.ndarray]
    blown: dict[str, tuple[Blown, ...]]
    unsettled: dict[str, tuple[Unsettled, ...]] = field(default_factory=dict)
    """Fault id -> contacts that come to rest in neither position, by state."""
    unsure: dict[str, frozenset[str]] = field(default_factory=dict)
    """State -> loads whose volts are not to be predicted while all is well: a contact buzzes."""
    heat: dict[str, tuple[Hot, ...]] = field(default_factory=dict)
    """Fault id -> states in which a poor joint is noticed by its heat."""
    unread: dict[str, frozenset[str]] = field(default_factory=dict)
    """State -> places at which a meter shows no one value though all is well."""
    bus: BusReadings | None = None
    """Ohms across the pairs of data buses; None without one."""
    fuse_ohms: dict[str, float] = field(default_factory=dict)
    """Fuse -> what it resists."""
    slow: dict[str, frozenset[str]] = field(default_factory=dict)
    """State -> places whose pulses a meter follows: `healthy` and `faulted` hold their means."""
    alternating: dict[str, frozenset[str]] = field(default_factory=dict)
    """State -> places that a magneto moves: the meter is set to alternating current there."""

    def sure(self, faults: Iterable[str], state: str) -> bool:
        """True where no contact buzzes in a state, be all well or with any of the faults."""
        if state in self.unsure:
            return False
        return not any(u.state == state for f in faults for u in self.unsettled.get(f, ()))


def sweep(
    vehicle: Vehicle,
    harness: Harness,
    sizing: Sizing,
    solved: Solved,
    begin: Begin = here,
    everywhere: bool = True,
) -> Sweep:
    """Break every part of the network in every way, in every state.

    `begin` is how some of it is worked out beside the rest. Where not `everywhere`, the volts are
    kept of the nodes alone that something is asked of.
    """
    network = network_of(vehicle, harness, solved)
    branches = [element.branch for element in network.elements]
    faults = [*open_faults(vehicle, harness, branches).values(), *stuck_faults(vehicle)]
    faults += [*short_faults(harness), *swap_faults(vehicle, harness)]
    parts = broken(vehicle, harness, sizing, network, faults, solved)
    healthy = {
        name: np.array([*(state.healthy.volts[node] for node in network.nodes), 0.0])
        for name, state in parts.plain.items()
    }
    unsure = unsure_loads(vehicle, parts.plain)
    seen = seen_loads(vehicle, network.nodes, network.reference, unsure)

    def visible(state: str, volts: np.ndarray, tried: Sequence[Fault]) -> list[bool]:
        return [bool(x) for x in effects_in_state(state, seen, healthy[state], volts, tried)]

    poor = joint_faults(vehicle, harness, branches)
    brief = cranking_states(vehicle, {name: s.healthy for name, s in parts.plain.items()})
    one = next(iter(parts.plain.values()))
    warmed = Joints.of(vehicle, harness, sizing, one, poor, brief)

    def hot(state: str, volts: np.ndarray, tried: Sequence[Fault]) -> dict[int, Hot]:
        return warmed.hot(parts.plain[state], volts, tried)

    joints = joints_where_seen(vehicle, parts, poor, visible, hot)
    faults += [*joints, *worse_grounds(joints)]
    places = np.arange(len(network.nodes))
    if not everywhere:
        asked = asked_nodes(vehicle, harness, network.nodes, network.reference)
        places = np.array(asked, dtype=np.intp)
    found = volts_of(vehicle, parts, faults, places, hot, begin)
    settle_unexcited(vehicle, parts, faults, found)
    cases = [Case(state, METER) for state in parts.plain]
    settler = Settler(network)
    shown = readings_of(vehicle, settler, cases, sense(vehicle, harness, solved))
    probed = probe_places(vehicle, harness)
    heat: dict[str, list[Hot]] = {}
    for warm in found.heat.values():
        for row in sorted(warm):
            heat.setdefault(faults[row].id, []).append(warm[row])
    return Sweep(
        tuple(faults),
        tuple(network.nodes[place] for place in places),
        network.reference,
        {state: volts[[*places, -1]] for state, volts in healthy.items()},
        found.volts,
        {fault: tuple(those) for fault, those in found.blown.items()},
        {fault: tuple(those) for fault, those in found.unsettled.items()},
        unsure,
        {fault: tuple(those) for fault, those in heat.items()},
        {at.solution.state: unread_places(at, probed) for at in shown},
        bus_readings(vehicle, harness, solved, faults),
        network_ohms(solved)[1],
        {at.solution.state: slow_places(at, probed) for at in shown},
        {at.solution.state: frozenset(probed) & at.moved_by_magneto for at in shown},
    )


def unread_places(shown: Readings, places: Iterable[str]) -> frozenset[str]:
    """Places at which a meter comes to no rest, or shows what nothing holds."""
    at = ((place, shown.at(place)) for place in places)
    return frozenset(place for place, found in at if found and found.kind in RESTLESS)


def slow_places(shown: Readings, places: Iterable[str]) -> frozenset[str]:
    """Places whose pulses a meter follows up and down."""
    at = ((place, shown.at(place)) for place in places)
    return frozenset(p for p, found in at if found and (found.kind, found.why) == ("between", SLOW))

"""What an ohmmeter shows across a data bus with each fault: the pair measured with power off."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from buildbook.electrical.model import Solved
from buildbook.electrical.ohmmeter import OPEN_OHMS, ohms_between
from buildbook.electrical.solve import settler_of
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.costs import seconds
from buildbook.faultfinding.model import Fault
from buildbook.harness.model import Harness
from buildbook.vehicle.bus import can_pairs, loads_across
from buildbook.vehicle.model import Circuit, Vehicle

LEAST_OHMS = 1.0
"""A meter's own leads: nothing less is told from nothing."""


@dataclass(frozen=True)
class BusReadings:
    """Decades of two (log2 of ohms) for every fault at every place across a pair."""

    nodes: tuple[str, ...]
    others: tuple[str, ...]
    what: tuple[str, ...]
    seconds: np.ndarray
    """What each takes."""
    well: np.ndarray
    """A reading a place, nothing being broken."""
    broken: dict[str, np.ndarray]
    """Fault id -> a reading a place, for faults that alter any."""
    live: frozenset[str]
    """Nodes of the wires."""

    def of(self, faults: Sequence[Fault]) -> np.ndarray:
        """Readings, faults x places."""
        return np.array([self.broken.get(fault.id, self.well) for fault in faults])


def bus_to_facts(bus: BusReadings | None) -> dict[str, Any] | None:
    """Readings as JSON can hold them."""
    if bus is None:
        return None
    broken = {fault: shown.tolist() for fault, shown in bus.broken.items()}
    told = {"nodes": bus.nodes, "others": bus.others, "what": bus.what, "live": sorted(bus.live)}
    return told | {"seconds": bus.seconds.tolist(), "well": bus.well.tolist(), "broken": broken}


def bus_from_facts(facts: Mapping[str, Any] | None) -> BusReadings | None:
    """What `bus_to_facts` told."""
    if facts is None:
        return None
    nodes, others, what = (tuple(facts[name]) for name in ("nodes", "others", "what"))
    broken = {fault: np.array(shown) for fault, shown in facts["broken"].items()}
    seconds_of, well = np.array(facts["seconds"]), np.array(facts["well"])
    return BusReadings(nodes, others, what, seconds_of, well, broken, frozenset(facts["live"]))


def bus_readings(
    vehicle: Vehicle, harness: Harness, solved: Solved, faults: Iterable[Fault]
) -> BusReadings | None:
    """Across every CAN pair at each device, plugged in and unplugged; None without a pair."""
    places = [place for _, high, low in can_pairs(vehicle) for place in _places(harness, high, low)]
    if not places:
        return None
    settler = settler_of(vehicle, harness, solved)
    state = _awake(vehicle)
    names, live = _branches(vehicle, harness)

    def read(opened: frozenset[str]) -> np.ndarray:
        found = []
        for high, low, what in places:
            out = {f"pin:{high}", f"pin:{low}"} if what == "bus ohms unplugged" else set()
            found += ohms_between(settler, state, opened | out, [(high, low)])
        decades: np.ndarray = np.log2(np.clip(found, LEAST_OHMS, 10 * OPEN_OHMS))
        return decades

    well = read(frozenset())
    broken = {
        fault.id: read(frozenset({fault.branch}))
        for fault in faults
        if fault.mode == "open" and fault.branch in names
    }
    highs, lows, whats = zip(*places, strict=True)
    reach = probe_places(vehicle, harness)
    takes = [
        reach[high] + seconds("bus ohms") + (seconds("unplug") if "unplugged" in what else 0.0)
        for high, what in zip(highs, whats, strict=True)
    ]
    return BusReadings(highs, lows, whats, np.array(takes), well, broken, live)


def _places(harness: Harness, high: Circuit, low: Circuit) -> list[tuple[str, str, str]]:
    """High and low pin of every device on both wires, and what is measured there."""
    on_low = {pin.device: pin.id for pin in low.pins}
    pairs = [
        (pin.id, on_low[pin.device])
        for pin in high.pins
        if pin.device in on_low and {pin.id, on_low[pin.device]} <= harness.wire_at.keys()
    ]
    ways = ("bus ohms", "bus ohms unplugged")
    return [(one, other, what) for one, other in pairs for what in ways]


def _awake(vehicle: Vehicle) -> str:
    """The state in which most loads across the pairs are on: a terminator always is."""
    loads = [x for _, high, low in can_pairs(vehicle) for x in loads_across(vehicle, high, low)]
    return max(vehicle.states, key=lambda state: sum(state in load.states for load in loads))


def _branches(vehicle: Vehicle, harness: Harness) -> tuple[frozenset[str], frozenset[str]]:
    """Ids of the branches of all pairs, and the nodes of their wires."""
    names: set[str] = set()
    live: set[str] = set()
    for _, high, low in can_pairs(vehicle):
        names |= {f"load:{load.id}" for load in loads_across(vehicle, high, low)}
        for wire in harness.wires.values():
            if wire.circuit in (high.id, low.id):
                live |= {wire.a.node, wire.b.node}
                names.add(f"wire:{wire.id}")
    names |= {f"pin:{node.partition('/')[0]}" for node in live}
    return frozenset(names), frozenset(live)

"""A sweep as plain arrays and back: what diagnosis asks of it, and no more."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

import numpy as np

from buildbook.faultfinding.asked_nodes import asked_nodes
from buildbook.faultfinding.bus import bus_from_facts, bus_to_facts
from buildbook.faultfinding.model import Blown, Fault, Hot, Unsettled
from buildbook.faultfinding.sweep import Sweep
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

FACTS = "facts"
"""The array that holds everything but volts, as the bytes of JSON."""


def for_diagnosis(vehicle: Vehicle, harness: Harness, swept: Sweep) -> Sweep:
    """The sweep with the nodes that a meter reaches or that feed a load, in single precision."""
    places = asked_nodes(vehicle, harness, swept.nodes, swept.reference)
    columns = [*places, len(swept.nodes)]

    def less(volts: Mapping[str, np.ndarray]) -> dict[str, np.ndarray]:
        return {name: of[..., columns].astype(np.float32) for name, of in volts.items()}

    nodes = tuple(swept.nodes[i] for i in places)
    return replace(swept, nodes=nodes, healthy=less(swept.healthy), faulted=less(swept.faulted))


def to_arrays(swept: Sweep, beside: Mapping[str, Any]) -> dict[str, np.ndarray]:
    """A sweep, and facts beside it that JSON can hold, as arrays by name."""
    facts = {
        "faults": [asdict(fault) for fault in swept.faults],
        "nodes": swept.nodes,
        "reference": swept.reference,
        "blown": {fault: [asdict(b) for b in found] for fault, found in swept.blown.items()},
        "unsettled": {
            fault: [asdict(u) for u in found] for fault, found in swept.unsettled.items()
        },
        "unsure": {state: sorted(loads) for state, loads in swept.unsure.items()},
        "heat": {fault: [asdict(h) for h in found] for fault, found in swept.heat.items()},
        "bus": bus_to_facts(swept.bus),
        "fuse_ohms": swept.fuse_ohms,
        "slow": {state: sorted(places) for state, places in swept.slow.items()},
        "alternating": {state: sorted(places) for state, places in swept.alternating.items()},
        "unread": {state: sorted(places) for state, places in swept.unread.items()},
        "states": list(swept.faulted),
        "beside": beside,
    }
    found: dict[str, np.ndarray] = {
        FACTS: np.frombuffer(json.dumps(facts).encode(), dtype=np.uint8)
    }
    for number, state in enumerate(swept.faulted):
        found[f"healthy{number}"] = swept.healthy[state]
        changed = (swept.faulted[state] != swept.healthy[state]).any(axis=1)
        found[f"rows{number}"] = np.flatnonzero(changed)
        found[f"faulted{number}"] = swept.faulted[state][changed]
    return found


def from_arrays(arrays: Mapping[str, np.ndarray]) -> tuple[Sweep, dict[str, Any]] | None:
    """The sweep and the facts beside it; None where the arrays are not what was written."""
    try:
        facts = json.loads(arrays[FACTS].tobytes())
        faults = tuple(Fault(**fault) for fault in facts["faults"])
        healthy, faulted = {}, {}
        for number, state in enumerate(facts["states"]):
            healthy[state] = arrays[f"healthy{number}"]
            faulted[state] = np.tile(healthy[state], (len(faults), 1))
            faulted[state][arrays[f"rows{number}"]] = arrays[f"faulted{number}"]
            if healthy[state].shape != (len(facts["nodes"]) + 1,):
                return None
            if not (np.isfinite(healthy[state]).all() and np.isfinite(faulted[state]).all()):
                return None
        blown = {f: tuple(Blown(**b) for b in found) for f, found in facts["blown"].items()}
        unsettled = {
            fault: tuple(Unsettled(u["state"], tuple(u["contacts"])) for u in found)
            for fault, found in facts["unsettled"].items()
        }
        unsure = {state: frozenset(loads) for state, loads in facts["unsure"].items()}
        nodes, reference = tuple(facts["nodes"]), facts["reference"]
        unread = {state: frozenset(places) for state, places in facts["unread"].items()}
        heat = {fault: tuple(Hot(**h) for h in found) for fault, found in facts["heat"].items()}
        swept = Sweep(
            faults,
            nodes,
            reference,
            healthy,
            faulted,
            blown,
            unsettled,
            unsure,
            heat,
            unread,
            bus_from_facts(facts["bus"]),
            facts["fuse_ohms"],
            {state: frozenset(places) for state, places in facts["slow"].items()},
            {state: frozenset(places) for state, places in facts["alternating"].items()},
        )
        return swept, facts["beside"]
    except (KeyError, TypeError, ValueError, IndexError, AttributeError):
        return None

"""Who pulses what: drivers by the duty of what hangs on them, and loads that pulse themselves."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import networkx as nx

from tests.simulator.read import amount, as_list, pins_of
from tests.simulator.supplies import batteries

Data = dict[str, Any]
SLOWEST_HZ = 40
"""Rhythms are whole multiples of ten, so that 100 ms hold whole periods of all: a mean follows
from the duty alone, whatever the frequency."""


@dataclass
class Pulses:
    """Duties of drivers ('ecu.A3') and of loads that pulse themselves ('coil-1.0')."""

    of_driver: dict[str, float] = field(default_factory=dict)
    own: dict[str, float] = field(default_factory=dict)

    def rhythm(self, who: str) -> tuple[float, float]:
        """A frequency and a delay of its own, so that pulses meet in every way there is."""
        everyone = sorted({*self.of_driver, *self.own})
        place = everyone.index(who)
        return SLOWEST_HZ + 10.0 * (place % 9), (place * 0.382) % 1


def pulses_of(written: Data) -> Pulses:
    """Duties from the description: a driver's own, else the most of the loads it leads to."""
    found, graph = Pulses(), _joined(written)
    drivers = _drivers(written)
    loads = dict(_pulsed_loads(written))
    taken = set[str]()
    for load, (pins, duty) in loads.items():
        near = [
            who
            for who in drivers
            if who in graph and any(p in graph and nx.has_path(graph, who, p) for p in pins)
        ]
        if not near:
            continue
        taken.add(load)
        best = max(near, key=lambda who: (drivers[who][0] is not None, drivers[who][1]))
        found.of_driver[best] = max(found.of_driver.get(best, 0.0), duty)
    for who, (duty, _) in drivers.items():
        if duty is not None and duty < 1:
            found.of_driver[who] = duty
    found.own = {load: duty for load, (_, duty) in loads.items() if load not in taken}
    return found


def _drivers(written: Data) -> dict[str, tuple[float | None, float]]:
    """Output -> its duty where that is said, and the frequency it can do."""
    return {
        f"{name}.{pin}": (
            amount(driver["duty"]) if "duty" in driver else None,
            amount(driver.get("frequency", "0 Hz")),
        )
        for name, device in written["devices"].items()
        for pin, driver in (device.get("drivers") or {}).items()
    }


def _pulsed_loads(written: Data) -> list[tuple[str, tuple[list[str], float]]]:
    found = []
    for name, device in written["devices"].items():
        for place, draw in enumerate(as_list(device.get("draws"))):
            duty = amount(draw.get("duty", 1))
            if duty < 1:
                pins = [str(draw[k]) for k in ("from", "to") if k in draw]
                pins = pins if len(pins) == 2 else pins_of(device, written["plugs"])[:2]
                found.append((f"{name}.{place}", ([f"{name}.{p}" for p in pins], duty)))
    return found


def _joined(written: Data) -> nx.Graph:
    """Pins joined by circuits and switches, without what the battery and the body feed."""
    fixed = nx.Graph()
    for circuit in written["circuits"].values():
        nx.add_star(fixed, [_pin(written, p) for p in circuit["join"]])
    for name, device in written["devices"].items():
        if device["kind"] == "ground":
            for node in [n for n in fixed if str(n).partition(".")[0] == name]:
                fixed.add_edge(node, "chassis")
        if device["kind"] == "fuse":
            fixed.add_edge(f"{name}.in", f"{name}.out")
            if "bus" in device:
                fixed.add_edge(f"{name}.in", f"{device['on']}.{device['bus']}")
    whole = fixed.copy()
    rails = set[str]()
    posts = [post for battery in batteries(written) for post in battery["between"]]
    for post in (*posts, "chassis"):
        if post in fixed:
            rails |= nx.node_connected_component(fixed, post)
    for name, device in written["devices"].items():
        for contact in as_list(device.get("contacts")):
            whole.add_edge(f"{name}.{contact['from']}", f"{name}.{contact['to']}")
    whole.remove_nodes_from(rails)
    return whole


def _pin(written: Data, name: str) -> str:
    """'device.pin' of a join; of a ground its name alone is enough."""
    return name if "." in name else f"{name}.stud"

"""Finds fuses, relays and panels that stand far off the way of their wires."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import fsum

import networkx as nx

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.places import rope_of, written_at
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.model import Device, Vehicle
from buildbook.words.say import say

RULE = "device-off-way"
SEVERITY = "warning"
SOURCE = (
    f"{PRACTICE}: what only passes current on stands between its ends, and a fuse near what feeds "
    "it (33 CFR 183.455 allows a boat's 175 mm to 1.8 m, by how the wire is held)"
)
KINDS = frozenset({"fuse", "relay", "panel"})
"""What may stand anywhere: lamps, switches and sensors stand where they are needed."""
MORE_M = 0.6
"""Of way for each wire, over that from the best place, from which it is told. Our choice."""
TIMES = 2.0


def check(assessed: Assessed) -> Iterator[Finding]:
    """Add up the ways to all that it is joined with, from its place and from every other."""
    vehicle = assessed.vehicle
    rope = rope_of(vehicle)
    ways = dict(nx.all_pairs_dijkstra_path_length(rope))
    for device in vehicle.devices.values():
        if device.kind not in KINDS or device.panel or device.point not in ways:
            continue
        ends = _ends(vehicle, device)
        if not ends or any(point not in ways[device.point] for point in ends):
            continue
        here = _whole(ways, device.point, ends)
        best = min(ways[device.point], key=lambda point: _whole(ways, point, ends))
        least = _whole(ways, best, ends)
        apart_m = (here - least) / ends.total()
        if apart_m < MORE_M or here < TIMES * least:
            continue
        yield Finding(
            RULE,
            "warning",
            device.id,
            say(
                "{device} stands at '{point}', and its wires lead to {ends}: {here} of "
                "way, where {least} would do from '{best}'.",
                device=called(device.title, device.id),
                point=device.point,
                ends=quoted(sorted(ends)),
                here=length(here),
                least=length(least),
                best=best,
            ),
            say(
                "Correct `at`: '{best}' is on the way; or say why it stands there and waive this.",
                best=best,
            ),
            SOURCE,
            written_at(vehicle, "devices", device.id, "at"),
        )


def _ends(vehicle: Vehicle, device: Device) -> Counter[str]:
    """Points of what each of its circuits joins it with; that of the nearest of many alike."""
    mine = {device.id, *(d.id for d in vehicle.devices.values() if d.panel == device.id)}
    found: Counter[str] = Counter()
    for circuit in vehicle.circuits.values():
        if any(pin.device in mine for pin in circuit.pins):
            others = {vehicle.devices[p.device].point for p in circuit.pins if p.device not in mine}
            found.update(others)
    return found


def _whole(ways: dict[str, dict[str, float]], point: str, ends: Counter[str]) -> float:
    return fsum(count * ways[point].get(end, 1e9) for end, count in ends.items())

"""Finds connectors of one type close enough to be swapped and pinned differently."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import networkx as nx

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import first_up, plug_of
from buildbook.checks.places import rope_of
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.model import Connector, Vehicle
from buildbook.words.say import say

RULE = "connectors-alike"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: connectors that can be swapped must not be alike, or must be marked"
REACH_M = 0.3
"""Rope between two points over which a plug reaches the other socket. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare connectors of one plug type that lie within reach; one finding leads for a place."""
    near = _near(assessed.vehicle)
    first: dict[tuple[str, str], str] = {}
    connectors = assessed.harness.connectors.values()
    for a, b in combinations(connectors, 2):
        if a.plug_type != b.plug_type or a.device == b.device:
            continue
        distance = 0.0 if a.point == b.point else near.get(a.point, {}).get(b.point, 1e9)
        if distance > REACH_M or _pinout(assessed.vehicle, a) == _pinout(assessed.vehicle, b):
            continue
        told = first.get((a.plug_type, a.point))
        first.setdefault((a.plug_type, a.point), a.id)
        yield Finding(
            RULE,
            "warning",
            a.id,
            say(
                "{a} and {b} are both {plug_type}, {distance} apart along the rope, "
                "and pinned differently: each fits where the other belongs.",
                a=first_up(plug_of(a)),
                b=plug_of(b),
                plug_type=a.plug_type,
                distance=length(distance),
            ),
            say(
                "Use another type or keying for one, or make its branch too short to "
                "reach; mark both."
            ),
            SOURCE,
            a.where,
            follows=(RULE, told) if told else None,
        )


def _near(vehicle: Vehicle) -> dict[str, dict[str, float]]:
    return dict(nx.all_pairs_dijkstra_path_length(rope_of(vehicle), cutoff=REACH_M))


def _pinout(vehicle: Vehicle, connector: Connector) -> tuple[str, dict[str, str]]:
    """What kind of device it is and what each cavity is for: injectors are alike on purpose."""
    kind = vehicle.devices[connector.device].kind
    uses = {pin.cavity: pin.use.rstrip(" 0123456789") for pin in connector.pins if not pin.unused}
    return kind, uses

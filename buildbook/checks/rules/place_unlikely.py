"""Finds what belongs on an engine, or away from one, in places where that is not so."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import rope_of, written_at, zones_at
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.model import Device, Vehicle
from buildbook.words.say import say

RULE = "place-unlikely"
SEVERITY = "warning"
SOURCE = (
    f"{PRACTICE}: starter and injectors sit on the engine, where the air is hot, dynamo, magneto "
    "and coil beside it, for belt and plug leads; fuse panels where they last and can be reached"
)
ON_ENGINE = frozenset({"starter", "injector"})
BESIDE_ENGINE = frozenset({"dynamo", "magneto", "alternator", "ignition coil"})
HOT_C = 65.0
TOO_HOT_C = 80.0
"""Fuses by ISO 8820 are rated at 23 °C and open early in air like this."""
BESIDE_M = 1.5
"""Of rope to the nearest hot zone: belts and plug leads are shorter. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only where the vehicle has a hot zone, and by how far it is from that."""
    vehicle = assessed.vehicle
    hot = {name for name, zone in vehicle.description.zones.items() if zone.ambient >= HOT_C}
    rope = rope_of(vehicle)
    engine = {p for r in vehicle.runs if r.zone in hot for p in (r.from_point, r.to_point)}
    if not hot:
        return
    away = nx.multi_source_dijkstra_path_length(rope, engine) if engine else {}
    for device in vehicle.devices.values():
        here = zones_at(vehicle, device.point)
        if not here:
            continue
        if device.kind in ON_ENGINE and device.point not in engine:
            why = say("no engine is there, and such a thing sits on one")
            yield _finding(vehicle, device, hot, why)
        elif device.kind in BESIDE_ENGINE and away.get(device.point, 0.0) > BESIDE_M:
            why = say(
                "the engine is {far} of rope away, and such a thing sits on it or beside it",
                far=length(away[device.point]),
            )
            yield _finding(vehicle, device, hot, why)
        elif device.kind == "panel" and all(z.ambient >= TOO_HOT_C for _, z in here):
            why = say("fuses open early there, and last less long")
            yield _finding(vehicle, device, set(), why)


def _finding(vehicle: Vehicle, device: Device, hot: set[str], why: str) -> Finding:
    zone, said = zones_at(vehicle, device.point)[0]
    remedy = say("Correct `at`: the point of the rope at the engine.")
    if not hot:
        remedy = say("Correct `at`, or put the panel where the air is cooler.")
    elif device.kind in ON_ENGINE and len(vehicle.runs_at(device.point)) == 1:
        remedy = say(
            "Correct `at`: the point of the rope at the engine; or the `zone` of the run that ends "
            "there: perhaps '{zone}'.",
            zone=min(hot),
        )
    return Finding(
        RULE,
        "warning",
        device.id,
        say(
            "{device} is at '{point}', in zone '{zone}' of {ambient:g} degC: {why}.",
            device=called(device.title, device.id),
            point=device.point,
            zone=zone,
            ambient=said.ambient,
            why=why,
        ),
        remedy,
        SOURCE,
        written_at(vehicle, "devices", device.id, "at"),
    )

"""Finds connectors and wires in a zone hotter than they stand."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import first_up, plug_of
from buildbook.checks.places import zones_at
from buildbook.checks.stages import Assessed
from buildbook.harness.connector_home import home_of
from buildbook.words.say import say

RULE = "too-hot"
SEVERITY = "error or warning"
SOURCE = "rated temperature against the zone's ambient in this description (ISO 6722-1 classes)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Connectors by the zones at their point, wires by the zones they cross."""
    yield from _connectors(assessed)
    yield from _wires(assessed)


def _connectors(assessed: Assessed) -> Iterator[Finding]:
    for connector in assessed.harness.connectors.values():
        home = home_of(assessed.harness, connector)
        zones = zones_at(assessed.vehicle, connector.point, home)
        name, zone = max(zones, key=lambda z: z[1].ambient, default=("", None))
        if zone is None or zone.ambient <= connector.plug.temperature:
            continue
        yield Finding(
            RULE,
            "warning",
            connector.id,
            say(
                "{connector} ({plug_type}) stands {temperature:g} °C; the zone {name} "
                "reaches {ambient:g} °C.",
                connector=first_up(plug_of(connector)),
                plug_type=connector.plug_type,
                temperature=connector.plug.temperature,
                name=name,
                ambient=zone.ambient,
            ),
            say("Move it to a cooler place, shield it from the heat, or use a hotter type."),
            SOURCE,
            connector.where,
        )


def _wires(assessed: Assessed) -> Iterator[Finding]:
    zones = assessed.vehicle.description.zones
    zone_of = {run.id: run.zone for run in assessed.vehicle.runs}
    for wire in assessed.harness.wires.values():
        sized = assessed.sizing.wires[wire.id]
        family = assessed.vehicle.wire_families[sized.family]
        crossed = [zone_of[run] for run in wire.runs]
        name = max(crossed, key=lambda z: zones[z].ambient, default="")
        hottest = max(sized.conductor_c, zones[name].ambient if name else 0.0)
        if hottest <= family.rated_c + 1e-6:
            continue
        yield Finding(
            RULE,
            "error",
            wire.id,
            say(
                "Wire {wire} of '{circuit}' reaches {hottest:.0f} °C in {zone}; {family} "
                "stands {rated_c:g} °C.",
                wire=wire.id,
                circuit=wire.circuit,
                hottest=hottest,
                zone=name or say("its zone"),
                family=say(family.title),
                rated_c=family.rated_c,
            ),
            say("Use a family with a higher rating, a larger size, or another route."),
            SOURCE,
            assessed.vehicle.circuits[wire.circuit].where,
        )

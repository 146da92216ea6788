"""Finds unsealed connectors where it gets wet."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import first_up, plug_of
from buildbook.checks.places import zones_at
from buildbook.checks.stages import Assessed
from buildbook.harness.connector_home import home_of
from buildbook.words.say import say

RULE = "unsealed-in-wet"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: connectors in wet places are sealed (ISO 20653, IP67)"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at the zones of the runs that end at each connector."""
    for connector in assessed.harness.connectors.values():
        if connector.plug.sealed:
            continue
        home = home_of(assessed.harness, connector)
        wet = [name for name, zone in zones_at(assessed.vehicle, connector.point, home) if zone.wet]
        if wet:
            yield Finding(
                RULE,
                "warning",
                connector.id,
                say(
                    "{connector} ({plug_type}) at {point} is not sealed, and the zone {zone} is "
                    "wet.",
                    connector=first_up(plug_of(connector)),
                    plug_type=connector.plug_type,
                    point=connector.point,
                    zone=wet[0],
                ),
                say(
                    "Use a sealed type for {plug_type} (`sealed: yes` where it is one), or "
                    "move the joint to a dry place.",
                    plug_type=connector.plug_type,
                ),
                SOURCE,
                connector.where,
            )

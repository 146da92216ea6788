"""Finds sleeves, boots and heat-shrink in a zone hotter than they stand."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import plug_of
from buildbook.checks.places import zones_at
from buildbook.checks.stages import Assessed
from buildbook.harness.connector_home import home_of
from buildbook.problem import Where
from buildbook.sizing.finished_runs import joints_of
from buildbook.words.say import say

RULE = "cover-too-hot"
SEVERITY = "warning"
SOURCE = "rated temperature of the cover in the catalogue against the zone's ambient described"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Sleeves by the zone of their run, boots and splices by the zones at their point."""
    zones = assessed.vehicle.description.zones
    for run in assessed.vehicle.runs:
        piece = assessed.finished_runs.get(run.id)
        if piece and piece.sleeve and zones[run.zone].ambient > piece.sleeve.rated_c:
            yield _finding(
                run.id,
                say(
                    "The {cover} from {from_point} to {to_point}",
                    cover=say(piece.sleeve.title),
                    from_point=run.from_point,
                    to_point=run.to_point,
                ),
                piece.sleeve.rated_c,
                run.zone,
                zones[run.zone].ambient,
                run.where,
            )
    yield from _boots(assessed)
    yield from _splices(assessed)


def _boots(assessed: Assessed) -> Iterator[Finding]:
    for booted in assessed.boots:
        connector = assessed.harness.connectors[booted.connector]
        home = home_of(assessed.harness, connector)
        name, ambient = _hottest(assessed, connector.point, home)
        if booted.boot and ambient > booted.boot.rated_c:
            what = say(
                "The {cover} on {plug}", cover=say(booted.boot.title), plug=plug_of(connector)
            )
            yield _finding(connector.id, what, booted.boot.rated_c, name, ambient, connector.where)


def _splices(assessed: Assessed) -> Iterator[Finding]:
    for node, joint in joints_of(assessed.vehicle, assessed.harness, assessed.sizing).items():
        splice = assessed.harness.splices[node]
        name, ambient = _hottest(assessed, splice.point, splice.harness)
        if joint.sleeve and ambient > joint.sleeve.rated_c:
            what = say(
                "The {cover} over splice {splice} of '{circuit}'",
                cover=say(joint.sleeve.title),
                splice=node,
                circuit=splice.circuit,
            )
            where = assessed.vehicle.circuits[splice.circuit].where
            yield _finding(node, what, joint.sleeve.rated_c, name, ambient, where)


def _hottest(assessed: Assessed, point: str, harness: str) -> tuple[str, float]:
    zones = zones_at(assessed.vehicle, point, harness)
    name, zone = max(zones, key=lambda found: found[1].ambient, default=("", None))
    return name, zone.ambient if zone else 0.0


def _finding(
    about: str, what: str, rated_c: float, zone: str, ambient: float, where: Where
) -> Finding:
    return Finding(
        RULE,
        "warning",
        about,
        say(
            "{what} stands {rated_c:g} °C; the zone {zone} reaches {ambient:g} °C.",
            what=what,
            rated_c=rated_c,
            zone=zone,
            ambient=ambient,
        ),
        say(
            "Choose another `cover`, shield the place from the heat, or lead the harness elsewhere."
        ),
        SOURCE,
        where,
    )

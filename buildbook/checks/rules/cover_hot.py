"""Finds sleeves, boots and heat-shrink in a zone hotter than they stand."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.context import Context, connector_home, plug_of, zones_at
from buildbook.checks.model import Finding
from buildbook.problem import Where
from buildbook.sizing.dressed import joints_of

RULE = "cover-too-hot"
SEVERITY = "warning"
SOURCE = "rated temperature of the cover in the catalogue against the zone's ambient described"


def check(context: Context) -> Iterator[Finding]:
    """Sleeves by the zone of their run, boots and splices by the zones at their point."""
    zones = context.vehicle.description.zones
    for run in context.vehicle.runs:
        piece = context.pieces.get(run.id)
        if piece and piece.sleeve and zones[run.zone].ambient > piece.sleeve.rated_c:
            yield _finding(
                run.id,
                f"The {piece.sleeve.title} from {run.from_point} to {run.to_point}",
                piece.sleeve.rated_c,
                run.zone,
                zones[run.zone].ambient,
                run.where,
            )
    yield from _boots(context)
    yield from _splices(context)


def _boots(context: Context) -> Iterator[Finding]:
    for booted in context.boots:
        connector = context.harness.connectors[booted.connector]
        home = connector_home(context.harness, connector.id)
        name, ambient = _hottest(context, connector.point, home)
        if booted.boot and ambient > booted.boot.rated_c:
            what = f"The {booted.boot.title} on {plug_of(connector)}"
            yield _finding(connector.id, what, booted.boot.rated_c, name, ambient, connector.where)


def _splices(context: Context) -> Iterator[Finding]:
    for node, joint in joints_of(context.vehicle, context.harness, context.sizing).items():
        splice = context.harness.splices[node]
        name, ambient = _hottest(context, splice.point, splice.harness)
        if joint.sleeve and ambient > joint.sleeve.rated_c:
            what = f"The {joint.sleeve.title} over splice {node} of '{splice.circuit}'"
            where = context.vehicle.circuits[splice.circuit].where
            yield _finding(node, what, joint.sleeve.rated_c, name, ambient, where)


def _hottest(context: Context, point: str, harness: str) -> tuple[str, float]:
    zones = zones_at(context.vehicle, point, harness)
    name, zone = max(zones, key=lambda found: found[1].ambient, default=("", None))
    return name, zone.ambient if zone else 0.0


def _finding(
    about: str, what: str, rated_c: float, zone: str, ambient: float, where: Where
) -> Finding:
    return Finding(
        RULE,
        "warning",
        about,
        f"{what} stands {rated_c:g} °C; the zone {zone} reaches {ambient:g} °C.",
        "Choose another `cover`, shield the place from the heat, or lead the harness elsewhere.",
        SOURCE,
        where,
    )

"""Finds wires whose insulation the seal of their cavity does not close on."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import contact_families
from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.sizing.finished_runs import outside_mm
from buildbook.words.say import say

RULE = "seal-misfit"
SEVERITY = "warning"
SOURCE = "the diameters that a contact family's seal takes, from the catalogue of contacts"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare each wire's outside diameter with the seal at each sealed end."""
    outside = outside_mm(assessed.vehicle, assessed.sizing)
    for wire in assessed.harness.wires.values():
        for end in (wire.a, wire.b):
            connector = assessed.harness.connectors.get(end.connector)
            family = contact_families().get(end.contact)
            if connector is None or not connector.plug.sealed or family is None:
                continue
            if family.sealed_od_mm is None or wire.id not in outside:
                continue
            least, most = family.sealed_od_mm
            if least - 1e-6 <= outside[wire.id] <= most + 1e-6:
                continue
            yield Finding(
                RULE,
                "warning",
                end.node,
                say(
                    "Wire {wire} is {outside:.1f} mm thick over its insulation; the seal at "
                    "{node} closes on {least:g} to {most:g} mm, so water gets in.",
                    wire=wire.id,
                    outside=outside[wire.id],
                    node=end.node,
                    least=least,
                    most=most,
                ),
                say(
                    "Choose another size or family of wire for it, another contact for the "
                    "cavity, or build a thin wire up with adhesive heat-shrink."
                ),
                SOURCE,
                connector.where,
            )

"""Which harness a connector is built on."""

from __future__ import annotations

from buildbook.harness.model import Harness
from buildbook.vehicle.model import Connector


def home_of(harness: Harness, connector: Connector) -> str:
    """The harness of a connector: its own where it is a half, else that of a wire in it."""
    found = (
        wire.harness
        for wire in harness.wires.values()
        if connector.id in (wire.a.connector, wire.b.connector)
    )
    return connector.harness or next(found, "")

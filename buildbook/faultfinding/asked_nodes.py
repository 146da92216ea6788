"""The nodes whose volts anything is asked of: where a meter reaches, and what feeds a load."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.electrical.network import inside
from buildbook.faultfinding.access import probe_places
from buildbook.faultfinding.effects import seen_loads
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Contact, Vehicle


def asked_nodes(
    vehicle: Vehicle, harness: Harness, nodes: Sequence[str], reference: str
) -> list[int]:
    """Their places in the nodes of a network, rising."""
    seen = seen_loads(vehicle, nodes, reference)
    probed = probe_places(vehicle, harness).keys()
    ends = {*seen.plus.tolist(), *seen.minus.tolist()}
    coils = {inside(pin) for c in _relay_contacts(vehicle) for pin in c.control or ()}
    battery = vehicle.supply.battery
    posts = {inside(pin) for pin in (battery.plus_pin, battery.minus_pin)}
    wanted = probed | coils | posts
    return [place for place, node in enumerate(nodes) if node in wanted or place in ends]


def _relay_contacts(vehicle: Vehicle) -> list[Contact]:
    """Those whose click is asked for."""
    return [c for relay in vehicle.all_of("relay") for c in relay.contacts]

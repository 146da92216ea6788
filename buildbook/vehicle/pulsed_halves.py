"""Push-pull outputs that pulse a load which hangs on their feed: their low half would drive it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import networkx as nx

from buildbook.vehicle.model import Circuit, Contact, Device, Load
from buildbook.vehicle.scope import Scope


def check_pulsed_halves(
    scope: Scope, devices: Mapping[str, Device], circuits: Iterable[Circuit]
) -> None:
    """A duty is that of the half which pulls to the feed; between it and the feed it is another."""
    joined = _joined(devices, circuits)
    for device in devices.values():
        for output in device.contacts:
            if output.kind != "driver":
                continue
            written = device.written.drivers[output.id.partition(".")[2]]
            if written.side != "push-pull" or written.bridge or output.from_pin not in joined:
                continue
            for load in _on_its_feed(joined, devices, output):
                duty = written.duty if written.duty is not None else load.duty
                if duty < 1:
                    name = output.id.partition(".")[2]
                    scope.say(
                        ("devices", device.id, "drivers", name),
                        f"output {name} of `{device.id}` pulses {load.device}, which hangs on its "
                        "feed",
                        "it then draws while the output is low, which the duty does not say",
                        "give it `side: low` with the share of the time that it pulls down as duty",
                    )


def _joined(devices: Mapping[str, Device], circuits: Iterable[Circuit]) -> nx.Graph[str]:
    """Pins that wires, fuses, bars and switches join; sources and outputs do not."""
    joined: nx.Graph[str] = nx.Graph()
    for circuit in circuits:
        nx.add_star(joined, [pin.id for pin in circuit.pins])
    for device in devices.values():
        joined.add_edges_from((bond.from_pin, bond.to_pin) for bond in device.bonds)
        joined.add_edges_from(
            (c.from_pin, c.to_pin) for c in device.contacts if c.kind in ("switch", "relay")
        )
    return joined


def _on_its_feed(
    joined: nx.Graph[str], devices: Mapping[str, Device], output: Contact
) -> Iterator[Load]:
    """Loads between an output and what feeds it."""
    at_output = nx.node_connected_component(joined, output.from_pin)
    feed = output.to_pin
    at_feed = nx.node_connected_component(joined, feed) if feed in joined else {feed}
    for device in devices.values():
        for load in device.loads:
            ends = load.from_pin, load.to_pin
            for one, other in (ends, ends[::-1]):
                if one in at_output and other in at_feed - at_output and load.control is None:
                    yield load

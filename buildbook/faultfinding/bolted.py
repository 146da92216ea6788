"""Ohms to the body while fuses, relays and plugs are out: through what is bolted, and stays."""

from __future__ import annotations

from collections.abc import Mapping

import networkx as nx
import numpy as np

from buildbook.electrical.laws.of_load import law_of
from buildbook.electrical.network import inside
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Load, Vehicle

ENDLESS_OHM = 1e7
"""What a meter shows as over its range."""

TELLS_OHM = 2.0
"""Of less a meter cannot tell a wire on the body: its leads alone hold 0.2 to 0.5 ohm. Common
practice, no source."""


def pieces_of_nodes(vehicle: Vehicle, harness: Harness) -> dict[str, str]:
    """Node -> the piece it belongs to, by the piece's first node.

    Fuses and relays are out and every plug is undone; splices, studs and bus bars still join.
    """
    joined: nx.Graph[str] = nx.Graph()
    joined.add_edges_from((wire.a.node, wire.b.node) for wire in harness.wires.values())
    joined.add_edges_from((pin.id, inside(pin.id)) for pin in vehicle.pins.values() if pin.stud)
    joined.add_edges_from(
        (inside(bond.from_pin), inside(bond.to_pin))
        for device in vehicle.devices.values()
        for bond in device.bonds
        if bond.kind in ("bus", "ground")
    )
    return {node: min(nodes) for nodes in nx.connected_components(joined) for node in nodes}


def ohms_to_body(vehicle: Vehicle, piece_of: Mapping[str, str]) -> dict[str, float]:
    """Piece -> what a meter shows from it to the body while no wire touches it.

    A winding between two studs stays joined: a magneto's, a starter's. Lamps are cold and motors
    stand; electronics and the ohms of wires count for nothing.
    """
    body = piece_of.get("chassis", "")
    ways: nx.Graph[str] = nx.Graph()
    for load in _bolted_loads(vehicle):
        one, other = (piece_of.get(inside(pin), "") for pin in (load.from_pin, load.to_pin))
        if one and other and one != other:
            siemens = 1 / _at_rest_ohm(load)
            if ways.has_edge(one, other):
                siemens += ways.edges[one, other]["siemens"]
            ways.add_edge(one, other, siemens=siemens)
    found = dict.fromkeys(piece_of.values(), ENDLESS_OHM)
    if body in ways:
        near = ways.subgraph(nx.node_connected_component(ways, body))
        apart = nx.resistance_distance(near, nodeB=body, weight="siemens", invert_weight=False)
        assert isinstance(apart, dict)
        found |= {piece: ohms for piece, ohms in apart.items() if piece != body}
    return found


def _bolted_loads(vehicle: Vehicle) -> list[Load]:
    """Loads between two studs that a meter's volt or less drives a current through."""
    pins = vehicle.pins
    return [
        load
        for device in vehicle.devices.values()
        for load in device.loads
        if load.control is None and pins[load.from_pin].stud and pins[load.to_pin].stud
    ]


def _at_rest_ohm(load: Load) -> float:
    law = law_of(load)
    if law is None:
        return load.ohms
    return float(1 / law.branch(np.zeros(1)).siemens[0])

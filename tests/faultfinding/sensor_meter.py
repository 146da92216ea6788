"""What a meter shows of a sensor that gives volts, where nothing but the meter is on its wire.

Told by what is still joined to its pin, branch by branch; the package tells it by equal volts.
"""

from __future__ import annotations

import random

import networkx as nx
import numpy as np

from buildbook.electrical.network import inside

LEAST_SUPPLY = 0.5
"""Share of its supply from which a sensor works: common practice, no source."""


def shown_alone(car, volts):
    """Node -> volts, where a sensor is alone on its wire, at one end of what is shown of it.

    `volts` are those of all nodes as the network has them.
    """
    if car.fault is None:
        return {}
    graph, fed = nx.Graph(), {"chassis"}
    for branch in (element.branch for element in car.network.elements):
        if branch.kind in ("wire", "pin", "bus", "ground", "touch"):
            graph.add_edge(branch.a, branch.b)
        elif branch.kind == "source":
            fed |= {branch.a, branch.b}
    found = {}
    devices = car.result.vehicle.devices.values()
    for signal in (s for device in devices for s in device.signals):
        pin = inside(signal.pin)
        if signal.written.volts is None or not signal.supply_pin or pin not in graph:
            continue
        piece = nx.node_connected_component(graph, pin)
        given = None if piece & fed else _given(car, volts, signal)
        if given is not None:
            found |= dict.fromkeys(piece, given)
    return found


def _given(car, volts, signal):
    back = volts[inside(signal.return_pin)]
    supply = volts[inside(signal.supply_pin)] - back
    output = signal.written.volts
    gone = car.fault.mode == "open" and car.fault.branch.startswith(f"load:{signal.device}.")
    if supply < LEAST_SUPPLY * (output.of or supply) or supply <= 0 or gone:
        return None
    at, gives = zip(*((value.value, out) for value, out in output.points), strict=True)
    shown = [value.value for value in signal.written.show] or at
    end = max if random.Random(car.fault.id).random() < 0.5 else min
    given = np.interp(end(shown), *zip(*sorted(zip(at, gives, strict=True)), strict=True))
    return back + float(given) * (supply / output.of if output.of else 1.0)

"""Which devices a fuse's current comes through from the battery, and in which state most flows."""

from __future__ import annotations

from math import fsum

import networkx

from buildbook.sizing.stage import Sized


def largest_state(result: Sized) -> str:
    """The state in which the fused loads take the most; the starter has no fuse.

    One in which a contact buzzes is left out where there is another: what it takes is not sure.
    """
    fused = {load for fuse in result.sizing.fuses.values() for load in fuse.feeds}
    meter = result.solved.meter
    sure = [state for state, solution in meter.items() if not solution.unsettled]
    return max(
        sure or meter,
        key=lambda s: fsum(abs(meter[s].current_a.get(f"load:{x}", 0.0)) for x in fused),
    )


def _owner(result: Sized, node: str) -> str:
    """Device that a node belongs to, with the stud for a panel; '' for splices and halves."""
    pin = result.vehicle.pins.get(node.rstrip("~"))
    if pin is None:
        return ""
    kind = result.vehicle.devices[pin.device].kind
    return pin.id if kind == "panel" else pin.device


def supply_paths(result: Sized) -> dict[str, tuple[str, ...]]:
    """Fuse -> devices that its current comes through from the battery, the fuse last.

    The shortest conductive way over all states (relays closed in any), loads left out.
    """
    graph: networkx.Graph[str] = networkx.Graph()
    vehicle = result.vehicle
    for solution in result.solved.meter.values():
        for branch in solution.branches.values():
            if branch.kind in ("wire", "pin", "fuse", "bus", "contact"):
                graph.add_edge(branch.a, branch.b, weight=max(branch.ohms, 1e-6) + 1e-4)
    reference = f"{vehicle.supply.earthed_pin}~"
    graph.remove_nodes_from([n for n in (reference, "chassis") if n in graph])
    posts = (pin for b in vehicle.supply.batteries for pin in (b.plus_pin, b.minus_pin))
    live = {f"{pin}~" for pin in posts if pin in vehicle.supply.live_pins} & graph.nodes
    if not live:
        return {}
    ways = networkx.multi_source_dijkstra_path(graph, live)
    found: dict[str, tuple[str, ...]] = {}
    for fuse in result.sizing.fuses:
        ends = [p.id + "~" for p in vehicle.devices[fuse].pins if p.id + "~" in ways]
        near = min(ends, key=lambda n: len(ways[n]), default=None)
        if near is None:
            continue
        owners = [o for o in (_owner(result, node) for node in ways[near]) if o]
        found[fuse] = tuple(dict.fromkeys([*owners, fuse]))
    return found

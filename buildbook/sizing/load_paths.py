"""The way a load's current takes: from its source, through wires and fuses, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.electrical.model import Branch, Solution
from buildbook.electrical.network import inside
from buildbook.sizing.drop_allowance import allowance, is_signal
from buildbook.vehicle.model import Load, Vehicle

TRICKLE_A = 1e-4
"""Below this a load is a signal's input, not a load."""
CRANKING_A = 20.0


@dataclass(frozen=True)
class LoadPath:
    """Branches on the way of one load in one state, nearest the load first."""

    load: Load
    state: str
    current_a: float
    feed: tuple[Branch, ...]
    back: tuple[Branch, ...]
    other_drop_v: float
    """Lost in contacts, fuses, switches and joints: what a thicker wire cannot help."""
    allowed_v: float
    signal: bool
    wires: tuple[str, ...]
    """Wires whose drop counts. While charging, those between alternator and battery do not:
    the regulator makes up for them."""
    source: str = "battery"
    """Branch that drives the current: 'battery', 'alternator' or 'source:ecu.B1'."""
    kind: str = "ordinary"
    """Kind of allowance: author, critical, ordinary or cranking."""
    counted: tuple[Branch, ...] = ()
    """Branches whose drop counts, from the source to the load and back."""

    @property
    def wire_allowance_v(self) -> float:
        """What the wires may lose: the rest of the allowance, but never under half of it."""
        return max(self.allowed_v - self.other_drop_v, self.allowed_v / 2)


def load_paths(vehicle: Vehicle, solutions: Mapping[str, Solution]) -> list[LoadPath]:
    """A path for every load that draws, in every state.

    What merely leaks round between two grounds, through a load that is off, has no path.
    """
    found = []
    charging = charging_branches(solutions)
    cranking = cranking_states(vehicle, solutions)
    for solution in solutions.values():
        for device in vehicle.devices.values():
            for load in device.loads:
                current = solution.current_a.get(f"load:{load.id}", 0.0)
                if abs(current) > TRICKLE_A:
                    made_up = charging if solution.alternator_a > 0 else frozenset()
                    turning = solution.state in cranking
                    path = _path(vehicle, solution, load, current, made_up, turning)
                    if path.source:
                        found.append(path)
    return found


def charging_branches(solutions: Mapping[str, Solution]) -> frozenset[str]:
    """Branches between alternator and battery: a flat battery sends its whole output through."""
    found: set[str] = set()
    for solution in solutions.values():
        if solution.charging_a > 0 and "battery" in solution.branches:
            battery = solution.branches["battery"]
            found |= {b.id for b in _walk(solution, battery.a, 1.0, frozenset())[0]}
            found |= {b.id for b in _walk(solution, battery.b, -1.0, frozenset())[0]}
    return frozenset(found)


def cranking_states(vehicle: Vehicle, solutions: Mapping[str, Solution]) -> frozenset[str]:
    """States in which a starter turns."""
    loads = [x.id for d in vehicle.all_of("starter") for x in d.loads]
    return frozenset(
        state
        for state, solution in solutions.items()
        if any(abs(solution.current_a.get(f"load:{x}", 0.0)) > CRANKING_A for x in loads)
    )


def _walk(
    solution: Solution, node: str, sign: float, live: frozenset[str]
) -> tuple[list[Branch], str]:
    """Follow the largest current into (sign 1) or out of (-1) each node, to a source.

    A source that stands on another, both its ends being of `live`, is passed. Returns the
    branches and the id of the source, '' where there is none at the end.
    """
    way: list[Branch] = []
    seen = {node}
    while True:
        best, best_a = None, 1e-9
        for branch, into in solution.at.get(node, []):
            other = branch.b if branch.a == node else branch.a
            if into * sign > best_a and branch.leads and other not in seen:
                best, best_a = branch, into * sign
        if best is None:
            return way, ""
        if best.kind == "source" and not {best.a, best.b} <= live:
            return way, best.id
        way.append(best)
        node = best.b if best.a == node else best.a
        seen.add(node)


def _path(
    vehicle: Vehicle,
    solution: Solution,
    load: Load,
    current: float,
    made_up: frozenset[str],
    cranking: bool,
) -> LoadPath:
    branch = solution.branches[f"load:{load.id}"]
    high, low = (branch.a, branch.b) if current > 0 else (branch.b, branch.a)
    live = frozenset(inside(pin) for pin in vehicle.supply.live_pins)
    feed, source = _walk(solution, high, 1.0, live)
    back, _ = _walk(solution, low, -1.0, live)
    counted = tuple(b for b in (*reversed(feed), *back) if b.id not in made_up)
    others = (b for b in counted if b.kind not in ("wire", "source"))
    other = sum(abs(solution.current_a[b.id]) * b.on_ohms for b in others)
    wires = tuple(b.ref for b in counted if b.kind == "wire")
    allowed = allowance(vehicle, load, cranking)
    return LoadPath(
        load,
        solution.state,
        abs(current),
        tuple(feed),
        tuple(back),
        other,
        allowed.volts,
        is_signal(vehicle, load),
        wires,
        source,
        allowed.kind,
        counted,
    )

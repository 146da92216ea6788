"""The order in which fuses go in: each after those that it needs, the least damage first."""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

from buildbook.faultfinding.at_work import dies, goes_dark
from buildbook.faultfinding.still_car import TURNING, Setting, StillCar, fed_node

BIG_A = 10.0
"""A fuse that carries more goes in after the small ones. Our choice."""

ORDINARY, BIG, MOVES, FIRES = range(4)
"""What a fuse can do if something behind it is wrong, mildest first."""


def needed_fuses(car: StillCar) -> dict[str, frozenset[str]]:
    """Fuse -> fuses without which something that it feeds is dead: above it, or at its relay."""
    states = [Setting(s, frozenset(), stopped=False) for s in car.vehicle.states]
    ids = [fuse.id for fuse in car.fuses]
    healthy = list(car.solutions([(s, frozenset()) for s in states]))
    opened = car.solutions([(s, frozenset({fuse})) for fuse in ids for s in states])
    needs: dict[str, set[str]] = {fuse: set() for fuse in ids}
    sign = car.vehicle.supply.reading_sign
    for without in ids:
        for well in healthy:
            ill = next(opened)
            for fuse in car.fuses:
                well_v, ill_v = (sign * at.volts[fed_node(fuse)] for at in (well, ill))
                lost = goes_dark(well_v, ill_v)
                if lost or any(dies(load, well, ill) for load in car.own[fuse.id]):
                    needs[fuse.id].add(without)
    return {fuse: frozenset(found - {fuse}) for fuse, found in needs.items()}


def own_a(car: StillCar, fuse: str) -> float:
    """Most that the loads of a fuse take at once, in any state."""
    return max(
        fsum(abs(s.current_a.get(f"load:{load.id}", 0.0)) for load in car.own[fuse])
        for s in car.solved.meter.values()
    )


def risk(car: StillCar, fuse: str) -> int:
    """The worst that something behind a fuse can do."""
    devices = [car.vehicle.devices[load.device] for load in car.own[fuse]]
    kinds = {device.kind for device in devices}
    cautions = {device.written.caution for device in devices}
    if kinds & {*TURNING} or "fuel" in cautions:
        return FIRES
    if kinds & {"starter", "motor"} or cautions & {"moving", "cranking"}:
        return MOVES
    return BIG if own_a(car, fuse) > BIG_A else ORDINARY


def fuse_order(
    damage: Mapping[str, tuple[int, float]], needs: Mapping[str, frozenset[str]]
) -> tuple[str, ...]:
    """Fuses in the order of least damage (risk, then amps), each after those that it needs.

    Where fuses need each other the least damaging goes first.
    """
    rank = {fuse: (*damage[fuse], fuse) for fuse in damage}
    waiting = {fuse: set(needs[fuse]) - {fuse} for fuse in damage}
    order: list[str] = []
    while waiting:
        ready = [rank[fuse] for fuse, before in waiting.items() if not before & waiting.keys()]
        _, _, fuse = min(ready or (rank[f] for f in waiting))
        order.append(fuse)
        del waiting[fuse]
    return tuple(order)

"""Loads that hang on a contact that buzzes: nobody can say what a meter shows there."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.electrical.case import Case
from buildbook.electrical.faults import StateNetwork
from buildbook.electrical.model import Solution
from buildbook.electrical.network import inside
from buildbook.electrical.readings import APART_V
from buildbook.vehicle.model import Load, Vehicle


def unsure_loads(vehicle: Vehicle, states: Mapping[str, StateNetwork]) -> dict[str, frozenset[str]]:
    """State -> ids of the loads whose volts differ with what buzzes in it open and closed.

    States in which everything comes to rest are left out. Where a source does not, no load is
    sure.
    """
    loads = [load for device in vehicle.devices.values() for load in device.loads]
    supply = {source.id for source in vehicle.supply.sources}
    found = {}
    for state, network in states.items():
        buzzing = network.healthy.unsettled
        if supply & buzzing:
            found[state] = frozenset(load.id for load in loads)
        elif buzzing:
            held = network.solution_of(Case(state, closed=buzzing))
            moved = (x.id for x in loads if _moves(x, network.healthy, held))
            found[state] = frozenset(moved)
    return found


def _moves(load: Load, opened: Solution, held: Solution) -> bool:
    ends = inside(load.from_pin), inside(load.to_pin)
    if not all(end in opened.volts for end in ends):
        return False
    return abs(opened.across(*ends) - held.across(*ends)) >= APART_V

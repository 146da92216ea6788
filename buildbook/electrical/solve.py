"""Solves every operating state, as a meter reads it and as the wire heats."""

from __future__ import annotations

from collections.abc import Mapping

from buildbook.electrical.model import Solved
from buildbook.electrical.network import build_network
from buildbook.electrical.settle import Case, Settler
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Vehicle

METER, HEATING = 1.0, 0.5
"""Power of a load's duty: average current, root-mean-square current."""


def solve_states(
    vehicle: Vehicle,
    harness: Harness,
    wire_ohms: Mapping[str, float],
    fuse_ohms: Mapping[str, float],
) -> Solved:
    """Both solutions of every state; `wire_ohms` by wire id, `fuse_ohms` by fuse device id."""
    settler = Settler(build_network(vehicle, harness, wire_ohms, fuse_ohms))
    cases = [Case(s, power) for power in (METER, HEATING) for s in vehicle.states]
    settled = settler.settle(cases)
    solutions = [settler.solution(cases, settled, i) for i in range(len(cases))]
    half = len(vehicle.states)
    return Solved(
        meter={s.state: s for s in solutions[:half]},
        heating={s.state: s for s in solutions[half:]},
    )

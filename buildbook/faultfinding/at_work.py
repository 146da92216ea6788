"""Whether a load works in a settled car, and whether it dies in another."""

from __future__ import annotations

from buildbook.electrical.model import Solution
from buildbook.electrical.network import volts_while_on
from buildbook.faultfinding.effects import DEAD_SHARE, LEAST_V
from buildbook.vehicle.model import Load


def works(load: Load, at: Solution) -> bool:
    """Whether it is meant to work in this state and has what it works from."""
    volts = volts_while_on(at, load)
    return at.state in load.states and volts >= max(load.working_v, LEAST_V)


def dies(load: Load, well: Solution, ill: Solution) -> bool:
    """Whether a load that works when all is well does nothing any more."""
    dark = goes_dark(volts_while_on(well, load), volts_while_on(ill, load))
    return dark and works(load, well)


def goes_dark(healthy_v: float, volts: float) -> bool:
    """Whether what has volts when all is well has next to none left."""
    return healthy_v >= LEAST_V and volts < DEAD_SHARE * healthy_v

"""Faults with which the engine runs on the battery alone: what a voltmeter shows, and how long."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from buildbook.electrical.charge import hours_to_flat
from buildbook.electrical.network import inside
from buildbook.faultfinding.model import Charging, Fault
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.power_model import PowerSource

DRAINS_A = 1.0
"""A battery that gives less while the engine runs is taken to be as good as kept. Our choice."""
RESTS_V = 1e-3
"""Nearer to its own volts a battery is at rest: what is kept for `diagnose` is rounded by less."""


def charging_faults(
    vehicle: Vehicle,
    nodes: Sequence[str],
    healthy: Mapping[str, np.ndarray],
    faulted: Mapping[str, np.ndarray],
    faults: Sequence[Fault],
) -> dict[str, tuple[Charging, ...]]:
    """Fault id -> states in which it empties the first battery, which a healthy car charges.

    `healthy` and `faulted` hold node volts by state, their last column zero. A battery that is
    open itself is not emptied.
    """
    place = {node: at for at, node in enumerate(nodes)}
    battery = vehicle.supply.battery
    plus, minus = (place.get(inside(pin), -1) for pin in (battery.plus_pin, battery.minus_pin))
    found: dict[str, list[Charging]] = {}
    for state in vehicle.states:
        well_v = float(healthy[state][plus] - healthy[state][minus])
        if well_v - battery.emf_v[state] <= RESTS_V:
            continue
        volts = faulted[state][:, plus] - faulted[state][:, minus]
        drain_a = (battery.emf_v[state] - volts) / battery.ohms[state]
        for row in np.flatnonzero(drain_a >= DRAINS_A).tolist():
            if faults[row].branch != battery.id:
                amps = float(drain_a[row])
                lasts = _lasts_h(vehicle, battery, state, amps)
                shown = Charging(state, float(volts[row]), well_v, amps, *lasts)
                found.setdefault(faults[row].id, []).append(shown)
    return {fault: tuple(those) for fault, those in found.items()}


def _lasts_h(
    vehicle: Vehicle, battery: PowerSource, state: str, amps: float
) -> tuple[float, float]:
    """Hours until what leaves a start is used up, and until it is flat (Peukert)."""
    data = vehicle.supply.battery_data
    charged = vehicle.description.states[state].charged
    usable = max(0.0, charged - (1 - data.usable))
    law = battery.capacity_ah[state], amps
    more = data.peukert, data.rated_over
    return hours_to_flat(*law, usable, *more), hours_to_flat(*law, charged, *more)

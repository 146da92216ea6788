"""Generators that a charge lamp starts: where a fault leaves it dark, they charge nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from buildbook.electrical.case import Case
from buildbook.electrical.faults import StateNetwork, settle_everywhere
from buildbook.electrical.network import inside
from buildbook.faultfinding.breaking import Broken, FaultVolts
from buildbook.faultfinding.effects import DEAD_SHARE, LEAST_V
from buildbook.faultfinding.faults import case_of
from buildbook.faultfinding.model import Fault
from buildbook.vehicle.model import Load, Vehicle
from buildbook.vehicle.power_model import PowerSource


def settle_unexcited(
    vehicle: Vehicle, broken: Broken, faults: Sequence[Fault], found: FaultVolts
) -> None:
    """Put right in place the volts of the states in which such a generator would charge.

    What a fault has opened by then, a fuse or an output that trips, stays open.
    """
    nodes = broken.network.nodes
    place = {nodes[at]: column for column, at in enumerate(found.places.tolist())}
    for generator in vehicle.supply.generators:
        lamps = list(_lamps(vehicle, generator))
        if not lamps:
            continue
        dark = _dark(generator, lamps, broken, faults, found.volts, place)
        running = [state for state, limit_a in generator.limit_a.items() if limit_a > 0]
        for states, rows in _by_network(broken, faults, dark):
            tried = [(state, row) for state in running for row in rows]
            cases = [_unexcited(vehicle, generator, found, faults[r], s) for s, r in tried]
            settled = settle_everywhere(states, cases)[0] if cases else []
            for (state, row), volts in zip(tried, settled, strict=True):
                found.put(state, [row], [volts])


def _lamps(vehicle: Vehicle, generator: PowerSource) -> Iterator[Load]:
    """Loads of other devices that end on the circuit of the terminal that starts a generator."""
    circuits = vehicle.circuit_of_pin.get(generator.excited_pin, ())
    pins = {pin.id for circuit in circuits for pin in vehicle.circuits[circuit].pins}
    own = generator.excited_pin.rpartition(".")[0]
    for device in vehicle.devices.values():
        if device.id != own:
            yield from (x for x in device.loads if {x.from_pin, x.to_pin} & pins)


def _dark(
    generator: PowerSource,
    lamps: Sequence[Load],
    broken: Broken,
    faults: Sequence[Fault],
    volts: Mapping[str, np.ndarray],
    place: Mapping[str, int],
) -> np.ndarray:
    """Whether each fault leaves every lamp dark wherever one lights while all is well."""
    lit = np.zeros(len(faults), dtype=bool)
    ever = False
    for state, plain in broken.plain.items():
        if generator.limit_a[state] > 0:
            continue
        for lamp in lamps:
            ends = [inside(lamp.from_pin), inside(lamp.to_pin)]
            well_v = abs(plain.healthy.volts[ends[0]] - plain.healthy.volts[ends[1]])
            if well_v < max(lamp.working_v, LEAST_V):
                continue
            ever = True
            plus, minus = (place.get(end, -1) for end in ends)
            across_v = np.abs(volts[state][:, plus] - volts[state][:, minus])
            whole = np.array([fault.id != f"open load:{lamp.id}" for fault in faults])
            lit |= (across_v >= DEAD_SHARE * well_v) & whole
    found: np.ndarray = ~lit if ever else np.zeros(len(faults), dtype=bool)
    return found


def _by_network(
    broken: Broken, faults: Sequence[Fault], dark: np.ndarray
) -> Iterator[tuple[Mapping[str, StateNetwork], list[int]]]:
    """The networks that faults are settled in, each with the rows of those that are dark."""
    rows = np.flatnonzero(dark).tolist()
    in_others = {name for crossed in broken.crossed for name in crossed.faults}
    yield broken.plain, [row for row in rows if faults[row].id not in in_others]
    for crossed in broken.crossed:
        yield crossed.states, [row for row in rows if faults[row].id in crossed.faults]


def _unexcited(
    vehicle: Vehicle, generator: PowerSource, found: FaultVolts, fault: Fault, state: str
) -> Case:
    """A fault in a state, with what it opened, the generator giving nothing."""
    opened = {generator.id}
    for blown in found.blown.get(fault.id, ()):
        if blown.state == state and blown.fuse:
            kind = "fuse" if blown.fuse in vehicle.devices else "contact"
            opened.add(f"{kind}:{blown.fuse}")
    earthed = {
        f"contact:{contact.id}"
        for contact in vehicle.devices[generator.plus_pin.rpartition(".")[0]].contacts
        if generator.excited_pin in (contact.from_pin, contact.to_pin)
    }
    case = case_of(vehicle, fault, state)
    apart = case.opened | opened
    return replace(case, opened=apart, closed=(case.closed | earthed) - apart)

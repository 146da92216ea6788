"""What the harness side of each connector reads while that connector is unplugged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import fsum

from buildbook.electrical.case import METER, Case
from buildbook.electrical.model import Sensors, Solution, Solved
from buildbook.electrical.reading import Reading
from buildbook.electrical.readings import readings_one_by_one
from buildbook.electrical.solve import settler_of
from buildbook.faultfinding.at_work import dies, works
from buildbook.faultfinding.still_car import TURNING
from buildbook.harness.model import Harness
from buildbook.sizing.load_paths import cranking_states
from buildbook.vehicle.model import Load, Vehicle


@dataclass(frozen=True)
class Unplugged:
    """What the harness side of one connector reads, that connector unplugged.

    `readings` is state -> pin id -> what a meter shows against the battery's minus. A running
    state in `stops` is missing from it: the engine does not run with the connector off.
    """

    connector: str
    states: tuple[str, ...]
    """One with the engine still and one running, where the vehicle has them."""
    readings: Mapping[str, Mapping[str, Reading]]
    stops: tuple[str, ...] = ()


def busiest_states(vehicle: Vehicle, solved: Solved, opened: frozenset[str]) -> tuple[str, ...]:
    """The states, one with the engine still and one running, in which most flows through pins.

    `opened` are their branches. Cranking counts as neither.
    """
    engine = {name: state.engine for name, state in vehicle.description.states.items()}
    cranks = cranking_states(vehicle, solved.meter)

    def through(state: str) -> float:
        amps = solved.meter[state].current_a
        return round(fsum(abs(amps.get(branch, 0.0)) for branch in opened), 3)

    still = [state for state in vehicle.states if not engine[state]]
    runs = [state for state in vehicle.states if engine[state] and state not in cranks]
    return tuple(max(states, key=through) for states in (still, runs) if states)


def unplugged(
    vehicle: Vehicle, harness: Harness, solved: Solved, sensors: Sensors
) -> dict[str, Unplugged]:
    """Every connector by id, the network settled anew with all its contacts apart."""
    settler = settler_of(vehicle, harness, solved)
    apart = {
        connector.id: frozenset(f"pin:{pin.id.partition('/')[0]}" for pin in connector.pins)
        for connector in harness.connectors.values()
    }
    states = {name: busiest_states(vehicle, solved, opened) for name, opened in apart.items()}
    cases = [Case(s, METER, apart[name]) for name in apart for s in states[name]]
    if not cases:
        return {}
    settled = readings_one_by_one(vehicle, settler, cases, sensors)
    found = {}
    for name, connector in harness.connectors.items():
        off = {state: next(settled) for state in states[name]}
        stops = tuple(s for s in off if _stops(vehicle, solved.meter[s], off[s].solution))
        shown = {
            state: {pin.id: r for pin in connector.pins if (r := at.at(pin.id)) is not None}
            for state, at in off.items()
            if state not in stops
        }
        found[name] = Unplugged(name, states[name], shown, stops)
    return found


def _stops(vehicle: Vehicle, well: Solution, off: Solution) -> bool:
    """True where a running engine loses its fuel pump, all its coils or all its injectors.

    A controller that stops for want of a sensor counts as the author says.
    """
    if not vehicle.description.states[well.state].engine:
        return False
    loads = {load.id: load for device in vehicle.devices.values() for load in device.loads}
    left_off = {
        load
        for loss in vehicle.losses
        if well.state in loss.states and any(dies(loads[x], well, off) for x in loss.of)
        for load in loss.dead
    }
    groups: dict[str, list[Load]] = {}
    for device in vehicle.devices.values():
        pumps = device.kind == "motor" and device.written.caution == "fuel"
        if device.kind in TURNING or pumps:
            groups.setdefault(device.kind, []).extend(device.loads)
    return any(
        working and all(load.id in left_off or dies(load, well, off) for load in working)
        for loads in groups.values()
        if (working := [load for load in loads if works(load, well)])
    )

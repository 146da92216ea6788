"""Ground points as they stand: what returns to each stud, by which wire, and how high it rises."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from buildbook.electrical.model import Solution, Solved
from buildbook.electrical.readings import place_of_pin
from buildbook.harness.model import Harness, Wire
from buildbook.vehicle.model import Device, Vehicle


@dataclass(frozen=True)
class Returned:
    """One wire on a stud."""

    wire: str
    splices: tuple[str, ...]
    """Splices that it comes through, nearest to the stud first."""
    pins: tuple[str, ...]
    """Pins that it joins to the stud."""
    current_a: float
    """Into the stud, negative where it flows out of the body; with the plus earthed the other way
    round, so that it is above zero for what a load takes."""


@dataclass(frozen=True)
class GroundPoint:
    """One stud in the state in which its wires carry most; volts are against the earthed post,
    as a meter is held."""

    device: Device
    state: str
    volts: float
    current_a: float
    """Of all the wires, each as of `Returned`."""
    furthest_v: float
    """Of all states."""
    furthest_state: str
    wires: tuple[Returned, ...]


def ground_points(vehicle: Vehicle, harness: Harness, solved: Solved) -> tuple[GroundPoint, ...]:
    """Every ground point in written order, as a meter reads it in its worst state.

    States in which a contact buzzes are left out where there are others: nobody can predict them.
    """
    return tuple(_point(vehicle, device, harness, solved) for device in vehicle.all_of("ground"))


def _point(vehicle: Vehicle, device: Device, harness: Harness, solved: Solved) -> GroundPoint:
    sure = {state: at for state, at in solved.meter.items() if not at.unsettled} or solved.meter
    volts = {state: _stud_v(vehicle, device, solution) for state, solution in sure.items()}
    furthest = max(volts, key=lambda s: abs(volts[s]))
    found = {
        state: tuple(
            _returned(vehicle, harness, harness.wires[id_], pin.id, solution)
            for pin in device.pins
            for id_ in harness.wire_at.get(pin.id, ())
        )
        for state, solution in sure.items()
    }
    state = max(found, key=lambda s: fsum(abs(wire.current_a) for wire in found[s]))
    total = fsum(wire.current_a for wire in found[state])
    return GroundPoint(device, state, volts[state], total, volts[furthest], furthest, found[state])


def _stud_v(vehicle: Vehicle, device: Device, solution: Solution) -> float:
    """Furthest of the terminals on the device's studs from 0 V, as a meter is held."""
    places = (place_of_pin(vehicle, pin.id) for pin in device.pins)
    found = (vehicle.supply.reading_sign * solution.volts.get(place, 0.0) for place in places)
    return max(found, key=abs, default=0.0)


def _returned(
    vehicle: Vehicle, harness: Harness, wire: Wire, stud: str, solution: Solution
) -> Returned:
    flow = vehicle.supply.reading_sign * solution.current_a.get(f"wire:{wire.id}", 0.0)
    nodes = list(nodes_behind(harness, wire, stud))
    return Returned(
        wire.id,
        tuple(node for node in nodes if node in harness.splices),
        tuple(node for node in nodes if node not in harness.splices),
        flow if wire.b.node == stud else -flow,
    )


def nodes_behind(harness: Harness, wire: Wire, start: str) -> Iterator[str]:
    """Splices and pins of the wire's circuit on its other side from `start`, nearest first.

    It goes on through splices and pass-through contacts, and ends at pins.
    """
    other_half = {
        f"{p.device}.{p.cavity}/{harness_}": [
            f"{p.device}.{p.cavity}/{h}" for h in p.wires if h != harness_
        ]
        for p in harness.pass_pins
        for harness_ in p.wires
    }
    seen, waiting = {start}, [wire.a.node if wire.b.node == start else wire.b.node]
    while waiting:
        node = waiting.pop(0)
        if node in seen:
            continue
        seen.add(node)
        if node in other_half:
            waiting += other_half[node]
        elif node in harness.splices:
            yield node
        else:
            if not node.endswith(".cap"):
                yield node
            continue
        for id_ in harness.wire_at.get(node, ()):
            waiting += [end.node for end in (harness.wires[id_].a, harness.wires[id_].b)]

"""Between what a working sensor may hold its wires in a faulted vehicle: no level of it is a fault.

The sweep solves every fault with each sensor at one value, as the resistance that its draw says.
A pickup stands at either of two levels, as its target happens to be, and other sensors follow what
they measure; so a reading on their wires can be anything between. On its circuit a node's volts
fall in proportion to the current that the sensor takes (Ohm's law): V = V_open - Z I, with V_open
what the pull-up is joined to. One solution gives Z of every node, and so its volts at any I. What
a sensor gives where nothing draws on it is `sensor_outputs.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Any

import numpy as np

from buildbook.electrical.network import inside
from buildbook.electrical.readings import FED_SHARE
from buildbook.electrical.sensing import controller_pin, loads_of, shown
from buildbook.electrical.sensors import Loop, reading
from buildbook.electrical.span import exactly
from buildbook.faultfinding.model import Fault
from buildbook.faultfinding.sensor_outputs import (
    NO_CURRENT_A,
    SensorOutput,
    sensor_outputs,
    show_outputs,
)
from buildbook.faultfinding.sweep import Sweep
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Signal, Vehicle


@dataclass(frozen=True)
class End:
    """Lowest, or highest, volts of faults at nodes: those of a sweep, but for a few nodes.

    Asked by rows and nodes, as an array of faults x nodes is.
    """

    volts: np.ndarray
    sign: int
    place: np.ndarray
    """Of each node, its column in `own`; -1 for those that the sweep itself tells."""
    own: np.ndarray

    def __getitem__(self, asked: tuple[Any, ...]) -> Any:
        rows, nodes = asked
        column = self.place[nodes]
        plain = self.sign * self.volts[rows, nodes]
        return np.where(column >= 0, self.own[rows, column], plain) if self.own.size else plain


Ends = tuple[End, End]
"""Lowest and highest volts, faults x nodes as in a sweep."""


@dataclass(frozen=True)
class _Holding:
    """A sensor on its pull-up, as places in the sweep's nodes.

    `pin_v` are the volts that it can make between its pin and `back`, and `unfed_v` those that it
    can without its own supply; `ohms` stand for it there.
    """

    pin: int
    back: int
    pull_up_minus: int
    supply: int | None
    supply_v: float
    branches: frozenset[str]
    feeds: frozenset[str]
    """Loads by which its own supply works it: open, it is as good as unfed."""
    ohms: float
    to_v: float
    pin_v: tuple[float, float]
    unfed_v: tuple[float, float]
    nodes: np.ndarray


def ends(vehicle: Vehicle, harness: Harness, swept: Sweep) -> dict[str, Ends]:
    """State -> lowest and highest volts that a meter may read at each node with each fault."""
    index = {node: place for place, node in enumerate(swept.nodes)}
    holding = list(_holding(vehicle, harness, index))
    signals = [signal for device in vehicle.devices.values() for signal in device.signals]
    outputs = list(
        sensor_outputs(
            vehicle,
            index,
            {signal.pin: _supply_volts(vehicle, signal) for signal in signals},
            {signal.pin: _circuit(vehicle, harness, signal, index) for signal in signals},
        )
    )
    sign = vehicle.supply.reading_sign
    led = {node for sensor in holding for node in sensor.nodes.tolist()}
    led |= {node for sensor in outputs for node in sensor.nodes.tolist()}
    found = {}
    for state, volts in swept.faulted.items():
        turning = sorted(index[place] for place in swept.alternating.get(state, ()))
        columns = np.array(sorted({*led, *turning}), dtype=np.intp)
        place = np.full(volts.shape[1], -1)
        place[columns] = np.arange(len(columns))
        low, high = _ends(volts, columns, place, swept.faults, holding, outputs)
        if sign < 0:
            low, high = -high, -low
        if turning:
            low, high = _without_sign((low, high), place[turning].tolist())
        found[state] = End(volts, sign, place, low), End(volts, sign, place, high)
    return found


def _without_sign(
    shown: tuple[np.ndarray, np.ndarray], at: Sequence[int]
) -> tuple[np.ndarray, np.ndarray]:
    """What a meter shows where some of the places alternate: these never below zero."""
    low, high = (end.copy() for end in shown)
    crosses = (low[:, at] <= 0) & (high[:, at] >= 0)
    sizes = np.abs(shown[0][:, at]), np.abs(shown[1][:, at])
    low[:, at] = np.where(crosses, 0.0, np.minimum(*sizes))
    high[:, at] = np.maximum(*sizes)
    return low, high


def _holding(vehicle: Vehicle, harness: Harness, index: Mapping[str, int]) -> Iterator[_Holding]:
    """The sensors that pull against a pull-up and have more than one value."""
    for device in vehicle.devices.values():
        for signal in device.signals:
            meter = controller_pin(vehicle, signal.pin, device.id)
            controller = vehicle.devices[vehicle.pins[meter].device] if meter else None
            sources = controller.sources if controller else ()
            pull_up = next((s for s in sources if s.plus_pin == meter), None)
            loads = loads_of(vehicle, signal)
            ends_of_it = inside(signal.pin), inside(signal.return_pin)
            if pull_up is None or not loads or not index.keys() >= {*ends_of_it, pull_up.minus_pin}:
                continue
            supply_v = _supply_volts(vehicle, signal)
            pin_v = _pin_volts(signal, pull_up.ohms, pull_up.volts, supply_v)
            if pin_v is None:
                continue
            fed = index.get(inside(signal.supply_pin)) if signal.supply_pin else None
            yield _Holding(
                index[ends_of_it[0]],
                index[ends_of_it[1]],
                index[pull_up.minus_pin],
                fed,
                supply_v,
                frozenset(f"load:{load.id}" for load in loads),
                frozenset(
                    f"load:{load.id}" for load in device.loads if load.from_pin == signal.supply_pin
                ),
                1 / fsum(1 / load.ohms for load in loads),
                pull_up.volts,
                pin_v,
                _unfed_volts(signal, pull_up.volts, pin_v[0]),
                np.array(sorted(_circuit(vehicle, harness, signal, index)[1]), dtype=np.intp),
            )


def _pin_volts(
    signal: Signal, pull_up_ohm: float, to_v: float, supply_v: float
) -> tuple[float, float] | None:
    """Least and most that a working sensor makes of its pull-up; None for one that does not.

    `supply_v` feeds it; where that is not known (0) it is what its output is told for.
    """
    given = signal.written
    if given.hall is not None:
        return given.hall.low / 2, to_v
    if given.switch is not None or given.inductive is not None or given.current is not None:
        return None
    told_v = given.volts.of if given.volts is not None else None
    loop = Loop(exactly(pull_up_ohm), exactly(to_v), supply_v=exactly(supply_v or told_v or 0.0))
    spans = [reading(given, value, loop).volts for value in shown(signal)]
    volts = [span.nominal for span in spans if span is not None]
    return (min(volts), max(volts)) if volts else None


def _unfed_volts(signal: Signal, to_v: float, least_v: float) -> tuple[float, float]:
    """What a sensor makes of its pull-up without its supply.

    A pickup lets go, a track still leads to its return; of other electronics nobody knows.
    """
    given = signal.written
    if given.hall is not None:
        return to_v, to_v
    return (0.0, least_v if given.volts is not None and given.volts.track else to_v)


def _supply_volts(vehicle: Vehicle, signal: Signal) -> float:
    """What feeds a sensor: volts of the source on the circuit of its supply pin; 0 for none."""
    circuits = vehicle.circuit_of_pin.get(signal.supply_pin, ())
    pins = (pin.id for circuit in circuits for pin in vehicle.circuits[circuit].pins)
    sources = {s.plus_pin: s.volts for d in vehicle.devices.values() for s in d.sources}
    return next((sources[pin] for pin in pins if pin in sources), 0.0)


def _circuit(
    vehicle: Vehicle, harness: Harness, signal: Signal, index: Mapping[str, int]
) -> tuple[frozenset[str], frozenset[int]]:
    """Wires and nodes of a signal's circuits."""
    circuits = {*vehicle.circuit_of_pin.get(signal.pin, ())}
    wires = [wire for wire in harness.wires.values() if wire.circuit in circuits]
    ends = {end.node for wire in wires for end in (wire.a, wire.b)}
    nodes = {index[node] for name in ends for node in (name, inside(name)) if node in index}
    return frozenset(f"wire:{wire.id}" for wire in wires), frozenset(nodes)


def _ends(
    volts: np.ndarray,
    columns: np.ndarray,
    place: np.ndarray,
    faults: Sequence[Fault],
    holding: Sequence[_Holding],
    outputs: Sequence[SensorOutput],
) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest volts at some nodes, the `columns` of `volts`, whose places these are."""
    low, high = volts[:, columns], volts[:, columns]
    for sensor in holding:
        broken = [f.branch if f.mode == "open" else "" for f in faults]
        opened = np.array([branch in sensor.branches for branch in broken])
        dead = np.array([branch in sensor.feeds for branch in broken])
        rows, at = _held(volts, sensor, opened, dead)
        where = np.ix_(rows, place[sensor.nodes])
        low[where], high[where] = np.minimum(*at), np.maximum(*at)
    show_outputs(low, high, volts, faults, outputs, place)
    return low, high


def _held(
    volts: np.ndarray, sensor: _Holding, opened: np.ndarray, dead: np.ndarray
) -> tuple[np.ndarray, list[np.ndarray]]:
    """Rows in which a sensor holds its circuit, and the circuit's volts at its least and most."""
    back = volts[:, sensor.back]
    amps = np.where(opened, 0.0, (volts[:, sensor.pin] - back) / sensor.ohms)
    open_v = volts[:, sensor.pull_up_minus] + sensor.to_v
    rows = np.flatnonzero((amps > NO_CURRENT_A) & (open_v > volts[:, sensor.pin]))
    here, open_here, amps = volts[np.ix_(rows, sensor.nodes)], open_v[rows, None], amps[rows, None]
    ohms = (open_here - here) / amps
    own = (open_v[rows] - volts[rows, sensor.pin])[:, None] / amps
    fed = ~dead[rows]
    if sensor.supply is not None:
        fed &= volts[rows, sensor.supply] - back[rows] >= FED_SHARE * sensor.supply_v
    found = []
    for pin_v, unfed_v in zip(sensor.pin_v, sensor.unfed_v, strict=True):
        made_v = back[rows] + np.where(fed, pin_v, unfed_v)
        taken = np.maximum(0.0, open_v[rows] - made_v)[:, None] / own
        found.append(open_here - taken * ohms)
    return rows, found

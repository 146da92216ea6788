"""Loads and sensors that a swap gives to each other's pin of a controller, all volts as before."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from buildbook.faultfinding.model import Effect, Fault
from buildbook.faultfinding.swaps import pairs_of
from buildbook.vehicle.model import Load, Vehicle

TRIGGERED = ("ignition coil", "injector")
"""Kinds that a controller may also time by a voltage that it gives out."""
CROSSED = "crossed"
SIDES = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Crossing:
    """A load that works in time with, or is read as, another, and the states where both count."""

    load: str
    states: frozenset[str]
    is_read: bool
    """True for a sensor, whose reading the controller takes for the other's."""


def crossings(vehicle: Vehicle, faults: Iterable[Fault]) -> dict[str, tuple[Crossing, ...]]:
    """Fault id -> what it crosses; swaps that cross nothing are left out.

    Crossed are the loads of two outputs that switch at different times though in the same
    states, which is what a controller has an output for each of them for, and sensors of two
    inputs. What one output feeds both, or a feed, is the same either way.
    """
    pins = _Pins.of(vehicle)
    found = {}
    for fault in faults:
        if fault.mode == "swap":
            crossed = [x for a, b in pairs_of(fault) for x in pins.crossed(vehicle, a, b)]
            if crossed:
                found[fault.id] = tuple(dict.fromkeys(crossed))
    return found


def crossed_sides(effects: Sequence[Effect]) -> list[Effect]:
    """A fault's effects in one state, where those of one side are the other's told as crossed.

    Sides change places where what is dead on one is left on at the other, and nothing else is.
    Which loads belong together their names say: `indicator-front-left` and `-right`.
    """
    dead = {e.load for e in effects if e.effect == "dead" and other_side(e.load) != e.load}
    on = {e.load for e in effects if e.effect == "stuck on" and other_side(e.load) != e.load}
    if not dead or {other_side(load) for load in dead} != on:
        return list(effects)
    return [replace(e, effect=CROSSED) if e.load in dead | on else e for e in effects]


def other_side(name: str) -> str:
    """A load's name with left for right and right for left."""
    return re.sub(r"left|right", lambda side: SIDES[side.group()], name)


@dataclass(frozen=True)
class _Pins:
    """Pin -> states in which it switches; pins that read; pin -> loads with an end at it."""

    outputs: Mapping[str, frozenset[str]]
    inputs: frozenset[str]
    loads: Mapping[str, tuple[Load, ...]]

    @classmethod
    def of(cls, vehicle: Vehicle) -> _Pins:
        loads: dict[str, list[Load]] = {}
        for device in vehicle.devices.values():
            for load in device.loads:
                for end in (load.from_pin, load.to_pin):
                    loads.setdefault(end, []).append(load)
        return cls(
            _outputs(vehicle, loads),
            frozenset(
                f"{device.id}.{name}"
                for device in vehicle.devices.values()
                for name in device.written.inputs
            ),
            {pin: tuple(those) for pin, those in loads.items()},
        )

    def crossed(self, vehicle: Vehicle, a: str, b: str) -> list[Crossing]:
        """What is crossed where two pins change places."""
        one, other = self._led_to(vehicle, a), self._led_to(vehicle, b)
        if one == other:
            return []
        if one in self.outputs and other in self.outputs:
            states = self.outputs[one] & self.outputs[other]
            ends = [self._own(vehicle, one), self._own(vehicle, other)]
            kinds = [{vehicle.devices[x.device].kind for x in those} for those in ends]
            if kinds[0] & kinds[1] - {"relay"}:
                return [Crossing(x.id, states & x.states, False) for x in (*ends[0], *ends[1])]
        if one in self.inputs and other in self.inputs:
            ends = [self._own(vehicle, one), self._own(vehicle, other)]
            if all(ends):
                return [Crossing(x.id, x.states, True) for x in (*ends[0], *ends[1])]
        return []

    def _led_to(self, vehicle: Vehicle, pin: str) -> str:
        """The output or input on the circuits of a pin; '' where there is none or several."""
        known = {*self.outputs, *self.inputs}
        pins = {
            pin,
            *(p.id for c in self._circuits(vehicle, pin) for p in vehicle.circuits[c].pins),
        }
        found = pins & known
        return next(iter(found)) if len(found) == 1 else ""

    def _own(self, vehicle: Vehicle, pin: str) -> tuple[Load, ...]:
        """The loads that a pin of a controller switches or reads."""
        device = pin.partition(".")[0]
        pins = [p.id for c in self._circuits(vehicle, pin) for p in vehicle.circuits[c].pins]
        return tuple(load for p in pins for load in self.loads.get(p, ()) if load.device != device)

    @staticmethod
    def _circuits(vehicle: Vehicle, pin: str) -> tuple[str, ...]:
        return vehicle.circuit_of_pin.get(pin, ())


def _outputs(vehicle: Vehicle, loads: Mapping[str, list[Load]]) -> dict[str, frozenset[str]]:
    """Output pin -> states in which it switches; a trigger is a voltage that a coil is given."""
    found = {
        contact.from_pin: contact.states
        for device in vehicle.devices.values()
        for contact in device.contacts
        if contact.kind == "driver"
    }
    for device in vehicle.devices.values():
        for name in device.written.sources:
            given = [
                load.states
                for circuit in vehicle.circuit_of_pin.get(f"{device.id}.{name}", ())
                for pin in vehicle.circuits[circuit].pins
                for load in loads.get(pin.id, ())
                if vehicle.devices[load.device].kind in TRIGGERED
            ]
            if given:
                found[f"{device.id}.{name}"] = frozenset().union(*given)
    return found

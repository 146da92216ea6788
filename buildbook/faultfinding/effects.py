"""What a fault does to loads and sensors: dead, weak, stuck on, or a wrong reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from buildbook.electrical.network import inside
from buildbook.faultfinding.model import Effect, Fault
from buildbook.vehicle.bus import can_pairs, loads_across, terminators
from buildbook.vehicle.model import Load, Vehicle

DEAD_SHARE = 0.2
"""Under this share of its healthy voltage a load does nothing. Our choice."""

WEAK_SHARE = 0.85
"""Under this share of its healthy voltage a load is seen to be weak. Our choice."""

LEAST_V = 0.5
"""A load with less than this is off. Our choice."""

WRONG_SHARE, WRONG_V = 0.15, 0.1
"""A sensor whose volts are off by more than both reads wrong. Our choice."""


@dataclass(frozen=True)
class Consequence:
    """Places of loads of which any is lost, and of those that are then dead or left on."""

    of: np.ndarray
    dead: np.ndarray
    stuck_on: np.ndarray
    awake: np.ndarray
    """Of the controllers that leave them on: dead, they leave nothing on."""
    states: frozenset[str]


@dataclass(frozen=True)
class Bus:
    """Places of the loads across a data bus, and of those of them that terminate it."""

    loads: np.ndarray
    ends: np.ndarray


@dataclass(frozen=True)
class SeenLoads:
    """Loads that a driver notices, with the places of their ends in an array of node volts.

    Place -1 is the reference node; arrays carry its zero in their last column.
    """

    loads: tuple[Load, ...]
    plus: np.ndarray
    minus: np.ndarray
    works_from: np.ndarray
    place: dict[str, int]
    sensor: np.ndarray | None = None
    """True where the load is a sensor: its volts are what is read."""
    losses: tuple[Consequence, ...] = ()
    buses: tuple[Bus, ...] = ()
    driven: np.ndarray | None = None
    """Share of the time for which a driver has each on; 1 for all where it is not given."""
    unsure: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """State -> ids of loads that hang on a contact that buzzes there while all is well."""


def seen_loads(
    vehicle: Vehicle,
    nodes: Sequence[str],
    reference: str,
    unsure: Mapping[str, frozenset[str]] | None = None,
) -> SeenLoads:
    """Every load of a fitted device except relay coils, which nobody sees.

    What a fault does to a load in a state in which it is `unsure` is not to be predicted.
    """
    index = {node: place for place, node in enumerate(nodes)} | {reference: -1}
    loads = tuple(
        load
        for device in vehicle.devices.values()
        if device.kind != "relay" and device.written.fitted == "yes"
        for load in device.loads
        if inside(load.from_pin) in index and inside(load.to_pin) in index
    )
    place = {load.id: index for index, load in enumerate(loads)}
    return SeenLoads(
        loads,
        np.array([index[inside(load.from_pin)] for load in loads], dtype=np.intp),
        np.array([index[inside(load.to_pin)] for load in loads], dtype=np.intp),
        np.array([load.working_v for load in loads]),
        place,
        np.array([vehicle.devices[x.device].kind == "sensor" for x in loads], dtype=bool),
        tuple(
            Consequence(
                _places(place, loss.of),
                _places(place, loss.dead),
                _places(place, loss.stuck_on),
                _places(place, loss.awake),
                loss.states,
            )
            for loss in vehicle.losses
        ),
        tuple(
            Bus(
                _places(place, [load.id for load in loads_across(vehicle, high, low)]),
                _places(place, [load.id for load in terminators(vehicle, high, low)]),
            )
            for _, high, low in can_pairs(vehicle)
        ),
        driven=np.array([x.duty if x.pulsed_by else 1.0 for x in loads]),
        unsure=unsure or {},
    )


def _places(place: Mapping[str, int], loads: Sequence[str]) -> np.ndarray:
    return np.array([place[load] for load in loads if load in place], dtype=np.intp)


def effects_in_state(
    state: str, seen: SeenLoads, healthy: np.ndarray, faulted: np.ndarray, faults: Sequence[Fault]
) -> list[list[Effect]]:
    """Effects of each fault in one state.

    `healthy` holds node volts, `faulted` one row a fault, both with a last column of zero.
    """
    meant = np.array([state in load.states for load in seen.loads], dtype=bool)
    driven = np.ones(len(seen.loads)) if seen.driven is None else seen.driven
    normal = np.abs(healthy[seen.plus] - healthy[seen.minus]) / driven
    volts = np.abs(faulted[:, seen.plus] - faulted[:, seen.minus]) / driven
    works = meant & (normal >= np.maximum(seen.works_from, LEAST_V))
    dead = works & (volts < DEAD_SHARE * normal)
    for row, fault in enumerate(faults):
        own = seen.place.get(fault.branch.removeprefix("load:"), -1) if fault.kind == "load" else -1
        if own >= 0 and works[own]:
            dead[row, own] = True
    unsure = _on_bus(seen, healthy, faulted, works, dead)
    gone, still = dead.copy(), normal < DEAD_SHARE * np.maximum(seen.works_from, LEAST_V)
    left_off, left_on = _follows(state, seen, gone)
    dead |= left_off & works
    weak = (volts < WEAK_SHARE * normal) | (volts < seen.works_from) | unsure
    weak &= works & ~dead
    stuck = meant & still & (seen.works_from > 0)
    stuck = stuck & (volts >= np.maximum(seen.works_from, LEAST_V)) | left_on & still
    sensor = np.zeros(len(seen.loads), dtype=bool) if seen.sensor is None else seen.sensor
    off_by = np.abs(volts - normal)
    own_open = dead & (volts >= DEAD_SHARE * normal)
    wrong = works & sensor & ((off_by > np.maximum(WRONG_SHARE * normal, WRONG_V)) | own_open)
    dead, weak, stuck = dead & ~sensor, weak & ~sensor, stuck & ~sensor
    sure = np.array([x.id not in seen.unsure.get(state, ()) for x in seen.loads], dtype=bool)
    marked = {"dead": dead, "weak": weak, "stuck on": stuck, "wrong reading": wrong}
    found: list[list[Effect]] = [[] for _ in faults]
    for name, marks in marked.items():
        for row, column in zip(*np.nonzero(marks & sure), strict=True):
            load, lost = seen.loads[column].id, bool(sensor[column] and gone[row, column])
            now, well = float(volts[row, column]), float(normal[column])
            found[row].append(Effect(load, state, name, now, well, lost))
    return found


def _on_bus(
    seen: SeenLoads, healthy: np.ndarray, faulted: np.ndarray, works: np.ndarray, dead: np.ndarray
) -> np.ndarray:
    """Loads across a data bus that are unreliable; `dead` is put right for those across one.

    The high wire must stand above the low one: turned round or level, nothing is heard. With a
    terminator cut off or open, or the difference off by more than `WRONG_SHARE`, what is left
    may fail at any time. ISO 11898-2 asks for 120 ohm at both ends; the limits are our choice.
    """
    unsure = np.zeros(dead.shape, dtype=bool)
    for bus in seen.buses:
        plus, minus = seen.plus[bus.loads], seen.minus[bus.loads]
        normal = healthy[plus] - healthy[minus]
        share = (faulted[:, plus] - faulted[:, minus]) / np.where(normal == 0, 1.0, normal)
        alone = (dead[:, bus.ends] & works[bus.ends]).any(axis=1, keepdims=True)
        dead[:, bus.loads] = works[bus.loads] & (share < DEAD_SHARE)
        off = np.abs(share - 1) > WRONG_SHARE
        unsure[:, bus.loads] = alone | dead[:, bus.loads].any(axis=1, keepdims=True) | off
    return unsure


def _follows(state: str, seen: SeenLoads, gone: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Loads that controllers leave off, and those that they leave on, without what is gone."""
    off, on = np.zeros_like(gone), np.zeros_like(gone)
    for loss in seen.losses:
        if state in loss.states:
            lost = gone[:, loss.of].any(axis=1, keepdims=True)
            awake = ~gone[:, loss.awake].any(axis=1, keepdims=True)
            off[:, loss.dead] |= lost
            on[:, loss.stuck_on] |= lost & awake
    return off, on

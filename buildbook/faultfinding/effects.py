"""What a fault does to loads and sensors: dead, weak, backwards, stuck on, a wrong reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from buildbook.electrical.network import inside
from buildbook.faultfinding.direction import is_one_way, runs_backwards
from buildbook.faultfinding.model import Effect, Fault
from buildbook.vehicle.bus import can_pairs, loads_across, terminators
from buildbook.vehicle.model import Device, Load, Vehicle

DEAD_SHARE = 0.2
"""Under this share of its healthy voltage a load does nothing. Our choice."""

WEAK_SHARE = 0.85
"""Under this share of its healthy voltage a load is seen to be weak. Our choice."""

LEAST_V = 0.5
"""A load that says nothing of what it works from is off with less than this. Our choice."""

READ = ("sensor", "controller", "display")
"""Kinds whose passive loads are inputs: what is seen of them is a reading."""

HELD_ON_DUTY = 0.8
"""A load pulsed for less of the time is seen to be on all of it. Our choice."""

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
    one_way: np.ndarray | None = None
    """True for electronics: the wrong way round they do nothing."""
    turns: np.ndarray | None = None
    """True for motors that run backwards the wrong way round."""
    pulsed_in: tuple[frozenset[str], ...] = ()
    """States in which each load's driver pulses; none where the array is empty."""
    passive: np.ndarray | None = None
    """True for loads that work wherever there are volts across them, asked for or not."""


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
    pulsing = {c.id: c.states for device in vehicle.devices.values() for c in device.contacts}
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
        pulsed_in=tuple(
            frozenset().union(*(pulsing.get(by, ()) for by in (x.pulsed_by, x.pulsed_back_by)))
            for x in loads
        ),
        one_way=_marked(vehicle, loads, is_one_way),
        turns=_marked(vehicle, loads, runs_backwards),
        passive=_marked(vehicle, loads, _is_passive),
    )


def _marked(
    vehicle: Vehicle, loads: Sequence[Load], judge: Callable[[Device, Load], bool]
) -> np.ndarray:
    return np.array([judge(vehicle.devices[x.device], x) for x in loads], dtype=bool)


def _is_passive(device: Device, load: Load) -> bool:
    """No electronics, nothing that pulses itself, and no sensor: volts across it make it work."""
    return load.control is None and not load.pulses_itself and device.kind not in READ


def _places(place: Mapping[str, int], loads: Sequence[str]) -> np.ndarray:
    return np.array([place[load] for load in loads if load in place], dtype=np.intp)


def effects_in_state(
    state: str, seen: SeenLoads, healthy: np.ndarray, faulted: np.ndarray, faults: Sequence[Fault]
) -> list[list[Effect]]:
    """Effects of each fault in one state.

    `healthy` holds node volts, `faulted` one row a fault, both with a last column of zero.
    """
    count = len(seen.loads)
    meant = np.array([state in load.states for load in seen.loads], dtype=bool)
    driven = np.ones(count) if seen.driven is None else seen.driven
    driven = np.where(_pulsing(state, seen), driven, 1.0)
    one_way, turns, passive = (_or_none(x, count) for x in (seen.one_way, seen.turns, seen.passive))
    well = healthy[seen.plus] - healthy[seen.minus]
    normal = np.abs(well) / driven
    along = (faulted[:, seen.plus] - faulted[:, seen.minus]) * np.where(well < 0, -1, 1) / driven
    volts = np.where(one_way, np.maximum(along, 0.0), np.abs(along))
    least = np.where(seen.works_from > 0, seen.works_from, LEAST_V)
    works = meant & (normal >= least)
    dead = works & (volts < DEAD_SHARE * normal)
    own = _open_inside(seen, faults)
    dead |= own & works
    unsure = _on_bus(seen, healthy, faulted, works, dead)
    gone, still = dead.copy(), normal < DEAD_SHARE * least
    left_off, left_on = _follows(state, seen, gone)
    dead |= left_off & works
    backwards = works & turns & (along < 0) & ~dead
    weak = (volts < WEAK_SHARE * normal) | (volts < seen.works_from) | unsure
    weak &= works & ~dead & ~backwards
    held = works & passive & (driven < HELD_ON_DUTY) & (volts > (1 + 1 / driven) / 2 * normal)
    stuck = (meant | passive) & still & (seen.works_from > 0) & (volts >= least) & ~own
    stuck = stuck | held & ~dead | left_on & still
    sensor = _or_none(seen.sensor, count)
    off_by = np.abs(volts - normal)
    own_open = dead & (volts >= DEAD_SHARE * normal)
    wrong = works & sensor & ((off_by > np.maximum(WRONG_SHARE * normal, WRONG_V)) | own_open)
    marked = {
        "dead": dead & ~sensor,
        "runs backwards": backwards,
        "weak": weak & ~sensor,
        "stuck on": stuck & ~sensor,
        "wrong reading": wrong,
    }
    return _listed(state, seen, marked, gone, along, normal, len(faults))


def _open_inside(seen: SeenLoads, faults: Sequence[Fault]) -> np.ndarray:
    """The load that each fault is the break of, faults x loads."""
    own = np.zeros((len(faults), len(seen.loads)), dtype=bool)
    for row, fault in enumerate(faults):
        if fault.kind == "load" and (load := fault.branch.removeprefix("load:")) in seen.place:
            own[row, seen.place[load]] = True
    return own


def _pulsing(state: str, seen: SeenLoads) -> np.ndarray:
    """Loads whose driver pulses in a state: their volts there are the mean of its pulses."""
    if not seen.pulsed_in:
        return np.ones(len(seen.loads), dtype=bool)
    return np.array([state in states for states in seen.pulsed_in], dtype=bool)


def _or_none(marks: np.ndarray | None, count: int) -> np.ndarray:
    return np.zeros(count, dtype=bool) if marks is None else marks


def _listed(
    state: str,
    seen: SeenLoads,
    marked: Mapping[str, np.ndarray],
    gone: np.ndarray,
    volts: np.ndarray,
    normal: np.ndarray,
    faults: int,
) -> list[list[Effect]]:
    """The effects marked, faults x loads, for each fault; none of a load that is not sure."""
    sensor = _or_none(seen.sensor, len(seen.loads))
    sure = np.array([x.id not in seen.unsure.get(state, ()) for x in seen.loads], dtype=bool)
    found: list[list[Effect]] = [[] for _ in range(faults)]
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

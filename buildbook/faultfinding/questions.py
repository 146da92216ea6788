"""All that can be asked of a vehicle with a fault: looks, clicks, swaps and a meter's probe."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from buildbook.electrical.network import inside
from buildbook.faultfinding.access import cranked, probe_places, state_seconds
from buildbook.faultfinding.costs import seconds
from buildbook.faultfinding.model import ALTERNATING, SWINGS, Effect, Fault
from buildbook.faultfinding.sensor_levels import Ends
from buildbook.faultfinding.sweep import Sweep
from buildbook.faultfinding.tree import LEAST_GAP_V, NO, YES, Questions
from buildbook.faultfinding.whereabouts import Whereabouts
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Contact, Device, Load, Vehicle

SEEN = ("lamp", "motor", "horn", "display", "starter")
"""Kinds of device that a driver sees or hears work. Our choice."""

HIDDEN = ("injector", "ignition coil", "solenoid", "sensor", "controller", "relay")
"""Kinds of device that nobody sees work."""

EffectsOf = Callable[[Fault], Sequence[Effect]]
Blurred = Mapping[str, np.ndarray]
"""State -> of each fault whether it says nothing there."""

MOST_ASKED = 1_000_000
"""Volts of faults at nodes that are looked at side by side."""
ANYTHING_V = 1e6
"""A meter may show from minus this to this where a relay buzzes: it parts from nothing."""


@dataclass(frozen=True)
class _Column:
    """One question, and what each of the suspects answers: lowest and highest."""

    node: str
    state: str
    seconds: float
    low: np.ndarray
    high: np.ndarray
    what: str = "volts"
    other: str = ""


@dataclass(frozen=True)
class Asking:
    """A vehicle with all its faults worked out, to be asked about any of them."""

    vehicle: Vehicle
    harness: Harness
    swept: Sweep
    ends: Mapping[str, Ends]
    """State -> lowest and highest volts of each fault, as sensors may stand."""

    def about(
        self,
        faults: Sequence[Fault],
        shown_in: Collection[str],
        gap_v: float = LEAST_GAP_V,
        effects: EffectsOf | None = None,
        feels: bool = False,
    ) -> Questions:
        """What tells some faults apart: in states that show them, and beside the parked car.

        One that makes a relay buzz in a state is not parted from others there, if there is a state
        that shows it and in which none does. With `effects` what else works is asked too, with
        `feels` where it is hot.
        """
        states = self._states(shown_in)
        blurred = {state: self._buzzing(faults, state, shown_in) for state in states}
        rows = self.rows_of(faults)
        columns = [x for s in states for x in self._volts(rows, s, gap_v, blurred[s])]
        columns += self._bus_ohms(faults)
        columns += self._clicks(faults, rows, states, blurred)
        seen_in = [s for s in self.vehicle.states if s in shown_in] or states
        easiest = min(seen_in, key=self._state_seconds.__getitem__)
        columns += self._swaps(faults, easiest)
        if effects is not None:
            columns += self._looks([effects(fault) for fault in faults], blurred)
        if feels:
            columns += self._feels(faults, easiest)
        return _table(columns, len(faults), gap_v)

    def rows_of(self, faults: Iterable[Fault]) -> np.ndarray:
        """Their rows in the sweep."""
        return np.array([self._row_of[fault.id] for fault in faults], dtype=np.intp)

    def _states(self, shown_in: Collection[str]) -> list[str]:
        """Those that show a fault, and the parked ones; none in which a relay buzzes anyhow."""
        wanted = [s for s in self.vehicle.states if s in shown_in or not self._engine(s)]
        sure = [s for s in wanted if s not in self.swept.unsure]
        shown = [s for s in wanted if s in shown_in]
        return sure if any(s in shown_in for s in sure) else [*sure, *shown] or wanted

    def _buzzing(
        self, faults: Sequence[Fault], state: str, shown_in: Collection[str]
    ) -> np.ndarray:
        """Those that make a relay buzz in a state, but for any that does so wherever it shows."""
        return np.array(
            [
                not self.swept.sure((fault.id,), state)
                and any(self.swept.sure((fault.id,), s) for s in shown_in)
                for fault in faults
            ],
            dtype=bool,
        )

    def _engine(self, state: str) -> float:
        return self.vehicle.description.states[state].engine

    @cached_property
    def _row_of(self) -> dict[str, int]:
        return {fault.id: row for row, fault in enumerate(self.swept.faults)}

    @cached_property
    def _state_seconds(self) -> dict[str, float]:
        cranks = cranked(self.vehicle)
        return {s: state_seconds(self.vehicle, s in cranks, s) for s in self.vehicle.states}

    @cached_property
    def _probes(self) -> dict[str, tuple[int, float]]:
        """Node -> its place in the sweep, and the seconds that it takes to reach."""
        index = {node: place for place, node in enumerate(self.swept.nodes)}
        live = self.swept.bus.live if self.swept.bus is not None else frozenset()
        return {
            node: (index[node], cost + (seconds("live bus") if node in live else 0.0))
            for node, cost in probe_places(self.vehicle, self.harness).items()
            if node in index
        }

    def _volts(
        self, rows: np.ndarray, state: str, gap_v: float, blurred: np.ndarray
    ) -> list[_Column]:
        """A probe on every place that a meter can tell of and that parts any of the faults."""
        unread = self.swept.unread.get(state, frozenset())
        nodes = [node for node in self._probes if node not in unread]
        if not len(rows) or not nodes:
            return []
        few = max(1, MOST_ASKED // len(rows))
        some = (nodes[first : first + few] for first in range(0, len(nodes), few))
        return [x for those in some for x in self._probed(those, rows, state, gap_v, blurred)]

    def _probed(
        self, nodes: Sequence[str], rows: np.ndarray, state: str, gap_v: float, blurred: np.ndarray
    ) -> list[_Column]:
        """A probe on each of some nodes that parts any of the faults."""
        places = np.array([self._probes[node][0] for node in nodes], dtype=np.intp)
        low, high = (end[np.ix_(rows, places)] for end in self.ends[state])
        low[blurred], high[blurred] = -ANYTHING_V, ANYTHING_V
        parts = np.flatnonzero(low.max(axis=0) - high.min(axis=0) >= gap_v)
        low, high = low[:, parts], high[:, parts]
        set_s, slow = self._state_seconds[state], self.swept.slow.get(state, frozenset())
        turns = self.swept.alternating.get(state, frozenset())
        columns = []
        for at, node in enumerate(nodes[part] for part in parts.tolist()):
            takes, how = self._probes[node][1] + set_s, SWINGS if node in slow else ""
            takes += seconds(SWINGS) if how else 0.0
            how = ALTERNATING if node in turns else how
            columns.append(_Column(node, state, takes, low[:, at], high[:, at], other=how))
        return columns

    def _bus_ohms(self, faults: Sequence[Fault]) -> list[_Column]:
        bus = self.swept.bus
        if bus is None or not any(fault.id in bus.broken for fault in faults):
            return []
        shown = bus.of(faults)
        return [
            _Column(node, self.vehicle.states[0], cost, shown[:, at], shown[:, at], what, other)
            for at, (node, other, what, cost) in enumerate(
                zip(bus.nodes, bus.others, bus.what, bus.seconds, strict=True)
            )
        ]

    @cached_property
    def _where(self) -> Whereabouts:
        return Whereabouts(self.vehicle, self.harness)

    def _reach_s(self, device: str) -> float:
        """What it takes to get a hand to a device."""
        return seconds(self._where.reach_of_point(self._where.point_of_device(device)))

    def _clicks(
        self, faults: Sequence[Fault], rows: np.ndarray, states: Sequence[str], blurred: Blurred
    ) -> list[_Column]:
        """Whether a relay is heard as the switches go from rest to where it should pull in."""
        found = []
        for relay, contact, ends in self._relays:
            still = [s for s in states if not self._engine(s)]
            rest = next((s for s in still if not self._pulls(contact, ends, s, None)), None)
            for state in still:
                if rest is None or not self._pulls(contact, ends, state, None):
                    continue
                heard = self._pulls(contact, ends, state, rows)
                heard &= ~self._pulls(contact, ends, rest, rows)
                buzzes = blurred[state] | blurred[rest]
                low = np.where(heard & ~buzzes, YES, NO)
                high = np.where(heard | buzzes, YES, NO)
                for row, fault in enumerate(faults):
                    if fault.branch == f"load:{relay.id}.coil" and fault.mode == "open":
                        low[row] = high[row] = NO
                    elif fault.mode == "stuck" and fault.branch.startswith(f"contact:{relay.id}."):
                        low[row], high[row] = NO, YES
                cost = seconds("click") + self._state_seconds[state] + self._reach_s(relay.id)
                found.append(_Column(relay.id, state, cost, low, high, "click", rest))
        return found

    @cached_property
    def _relays(self) -> list[tuple[Device, Contact, tuple[int, int]]]:
        """Relays with a coil of their own, a contact, and the places of the coil's ends."""
        index = {node: place for place, node in enumerate(self.swept.nodes)}
        index[self.swept.reference] = -1
        found = []
        for relay in self.vehicle.all_of("relay"):
            works = next((c for c in relay.contacts if c.kind == "relay" and c.control), None)
            ends = tuple(inside(pin) for pin in works.control or ()) if works else ()
            if works and len(ends) == 2 and {*ends} <= index.keys():
                found.append((relay, works, (index[ends[0]], index[ends[1]])))
        return found

    def _pulls(
        self, contact: Contact, ends: tuple[int, int], state: str, rows: np.ndarray | None
    ) -> np.ndarray:
        """Whether a coil has the volts to pull in; of the healthy vehicle without `rows`."""
        volts = self.swept.healthy[state] if rows is None else self.swept.faulted[state][rows]
        pulls: np.ndarray = np.abs(volts[..., ends[0]] - volts[..., ends[1]]) >= contact.control_v
        return pulls

    def _swaps(self, faults: Sequence[Fault], state: str) -> list[_Column]:
        """A fuse or a relay changed for a like one: what was wrong inside it is gone."""
        found = []
        for device, other in self._like_ones.items():
            own = np.array([is_inside(self.vehicle, fault, device) for fault in faults])
            if own.any() and not own.all():
                kind = self.vehicle.devices[device].kind
                cost = seconds(f"swap {kind}") + self._state_seconds[state] + self._reach_s(device)
                well = np.where(own, YES, NO)
                found.append(_Column(device, state, cost, well, well, "swap", other))
        return found

    @cached_property
    def _like_ones(self) -> dict[str, str]:
        """Relay -> one of the same part beside it; a fuse that is plugged in -> '' for a spare."""
        fuses = self.vehicle.all_of("fuse")
        found = {f.id: "" for f in fuses if not any(pin.stud for pin in f.pins)}
        relays = self.vehicle.all_of("relay")
        for relay in relays:
            other = next((r.id for r in relays if is_like(relay, r)), None)
            if other is not None:
                found[relay.id] = other
        return found

    def _looks(self, effects: Sequence[Sequence[Effect]], blurred: Blurred) -> list[_Column]:
        """What else works: every load that a driver sees, where some of the faults upset it."""
        upset = [dict.fromkeys((e.load, e.state) for e in found) for found in effects]
        seen = {x.id: x for d in self.vehicle.devices.values() for x in visible_loads(d)}
        places = dict.fromkeys(key for found in upset for key in found if key[0] in seen)
        columns = []
        for load, state in places:
            if state not in blurred:
                continue
            works = np.array([(load, state) not in found for found in upset])
            low, high = (
                np.where(w, YES, NO) for w in (works & ~blurred[state], works | blurred[state])
            )
            if low.any() and not high.all():
                cost = seconds("look") + self._state_seconds[state]
                columns.append(_Column(load, state, cost, low, high, "look"))
        return columns

    def _feels(self, faults: Sequence[Fault], state: str) -> list[_Column]:
        """What is hot, felt with the back of a hand: all of a zone, or some devices of it.

        Devices are halved again and again in the order in which they lie along the rope.
        """
        where = self._where
        device = [fault.branch.partition(":")[2].partition(".")[0] for fault in faults]
        point = {d: where.point_of(f) for d, f in zip(device, faults, strict=True)}
        zone = {d: where.zone_of_point(p) for d, p in point.items()}
        columns = []
        for name in dict.fromkeys(zone.values()):
            there = (d for d in zone if zone[d] == name)
            along = sorted(there, key=lambda d: (point[d], natural(d)))
            for some in halves(along):
                own = np.array([d in some for d in device])
                if own.all():
                    continue
                reached = max(seconds(where.reach_of_point(point[d])) for d in some)
                cost = seconds("feel") + reached + self._state_seconds[state]
                hot, whole = np.where(own, YES, NO), name if len(some) == len(along) else ""
                columns.append(_Column(",".join(some), state, cost, hot, hot, "feel", whole))
        return columns


def halves(names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """All of them, each half, each half of a half, down to one."""
    if names:
        yield tuple(names)
    if len(names) > 1:
        middle = len(names) // 2
        yield from halves(names[:middle])
        yield from halves(names[middle:])


def natural(name: str) -> tuple[str, int]:
    """Sorts F2 before F10."""
    letters = name.rstrip("0123456789")
    number = name[len(letters) :]
    return letters, int(number) if number else -1


def visible_loads(device: Device) -> tuple[Load, ...]:
    """Loads that a driver sees or hears work: of a motor the one that turns, not a sensor in it."""
    if device.kind not in SEEN or device.written.fitted != "yes" or not device.loads:
        return ()
    if device.kind == "motor":
        return (max(device.loads, key=lambda load: load.rated_a),)
    return device.loads


def is_inside(vehicle: Vehicle, fault: Fault, device: str) -> bool:
    """Whether a fault is gone with a fuse or a relay that is changed: its seat stays."""
    kind, _, ref = fault.branch.partition(":")
    if kind == "fuse":
        return ref == device
    return kind in ("contact", "load") and ref.partition(".")[0] == device


def is_like(one: Device, other: Device) -> bool:
    """Whether a relay may stand in for another beside it."""
    same = one.written.part == other.written.part and one.written.part
    pins = {pin.name for pin in one.pins} == {pin.name for pin in other.pins}
    return bool(one.id != other.id and one.panel and one.panel == other.panel and same and pins)


def _table(columns: Sequence[_Column], suspects: int, gap_v: float) -> Questions:
    low, high = (
        np.array(side, dtype=float).reshape(len(columns), suspects).T
        for side in ([x.low for x in columns], [x.high for x in columns])
    )
    return Questions(
        tuple(x.node for x in columns),
        tuple(x.state for x in columns),
        np.array([x.seconds for x in columns]),
        low,
        gap_v,
        tuple(x.what for x in columns),
        tuple(x.other for x in columns),
        high,
    )

"""What a meter shows at every place of a settled network: steady volts, and what moves them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import networkx as nx
import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from buildbook.electrical.case import Case
from buildbook.electrical.laws.transmitter import starved_v
from buildbook.electrical.model import Sensors, SensorTable, Solution, Solved
from buildbook.electrical.network import across, inside
from buildbook.electrical.reading import WITHIN_V, Kind, Reading, less, tolerant
from buildbook.electrical.sensing import spans_lifted
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import settler_of
from buildbook.electrical.span import Span, moved, within
from buildbook.electrical.swings import Swings, swings
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Signal, Vehicle

STRONGEST: tuple[Kind, ...] = (
    "unsettled",
    "alternating",
    "levels",
    "between",
    "average",
    "steady",
)
"""Of two places, the kind that the volts between them have."""

HOLDS_OHM = 1e6
"""What resists more holds no place against a meter of 10 megohm. Our choice."""
RIPPLE_V, RIPPLE_SHARE = 0.5, 0.25
"""A swing below either, volts and share of the most, is a ripple on steady volts. Our choice."""
AVERAGES_HZ = 10.0
"""A hand meter follows slower pulses: it takes some three readings a second (memory)."""
PULSES = "pulses: a meter shows their mean"
SLOW = "pulses slower than a meter averages"
APART_V = 0.1
"""A contact that buzzes moves a place by more than this, or it does not matter there."""
FED_SHARE = 0.5
"""Of a sensor's own supply, under which its output does nothing. Our choice."""


def place_of_pin(vehicle: Vehicle, pin: str) -> str:
    """The node that a probe meets at a pin: the terminal on its wires.

    A fuse is probed on its own top, and the battery on its posts.
    """
    batteries = vehicle.supply.batteries
    posts = {post for battery in batteries for post in (battery.plus_pin, battery.minus_pin)}
    own = vehicle.pins[pin].device if pin in vehicle.pins else ""
    if own and (vehicle.devices[own].kind == "fuse" or pin in posts):
        return inside(pin)
    return pin


@dataclass(frozen=True)
class _Moving:
    """What moves the volts on the circuit of a sensor, between the pin and its minus."""

    kind: Kind
    meter: str
    minus: str
    low: Span
    high: Span
    why: str


@dataclass(frozen=True)
class Readings:
    """One settled network as a meter meets it.

    `moved` are the volts of the same with the contacts that buzz in their other position.
    """

    vehicle: Vehicle
    solution: Solution
    sensors: Sensors = field(default_factory=Sensors)
    moved: Mapping[str, float] | None = None
    swings: Swings | None = None
    """What its pulses do; None where there are none."""

    def at(self, place: str) -> Reading | None:
        """At a node, against the earthed post; None where there is no such node.

        Where that is the plus, the red lead is on it and the black one on the place.
        """
        if self.vehicle.supply.reading_sign < 0:
            return self.across(self._reference, place)
        return self.across(place, self._reference)

    def at_pin(self, pin: str) -> Reading | None:
        """Where a probe meets a pin, against the earthed post."""
        return self.at(self._place(pin))

    def across_pins(self, plus: str, minus: str) -> Reading | None:
        """From where a probe meets one pin to where it meets another."""
        return self.across(self._place(plus), self._place(minus))

    def volts_across(self, plus: str, minus: str) -> float:
        """What a meter comes to between two pins; 0 where one of them is in no circuit."""
        reading = self.across_pins(plus, minus)
        return reading.volts.nominal if reading and reading.volts else 0.0

    def across(self, plus: str, minus: str) -> Reading | None:
        """From one node to another; None where one of them is not in the network."""
        volts = self.solution.volts
        if plus not in volts or minus not in volts:
            return None
        if self._island[plus] != self._island[minus]:
            return Reading("floating", why="nothing holds it")
        steady_v = volts[plus] - volts[minus]
        if (unsure := self._unsettled(plus, minus)) is not None:
            return unsure
        if (plus in self._alternating) != (minus in self._alternating):
            why = "a magneto makes it: set the meter to alternating current"
            return Reading("alternating", tolerant(0.0), why=why, rms_v=abs(steady_v))
        one, other = self._moving.get(plus), self._moving.get(minus)
        if one is other and (pulsed := self._pulsed(plus, minus, steady_v)) is not None:
            return pulsed
        if one is other:
            return Reading("steady", self._tolerant(plus, minus, steady_v))
        ends = [(self._ends(place, moving)) for place, moving in ((plus, one), (minus, other))]
        (low, high), (minus_low, minus_high) = ends
        moving = min(
            (m for m in (one, other) if m is not None), key=lambda m: STRONGEST.index(m.kind)
        )
        return Reading(
            moving.kind,
            None if moving.kind == "levels" else tolerant(steady_v),
            less(low, minus_high),
            less(high, minus_low),
            moving.why,
        )

    @cached_property
    def _alternating(self) -> frozenset[str]:
        """Nodes joined to the live end of a magneto that turns and that nothing earths."""
        found: set[str] = set()
        for source in self.vehicle.supply.sources:
            end = inside(source.plus_pin)
            if source.alternating and source.emf_v[self.solution.state] > 0 and end in self._joined:
                nodes = nx.node_connected_component(self._joined, end)
                found |= set() if nodes & {self._reference, "chassis"} else nodes
        return frozenset(found)

    @cached_property
    def moved_by_magneto(self) -> frozenset[str]:
        """Nodes at which a magneto that turns alternates, or would if its way to earth were cut."""
        found = set(self._alternating)
        studs = {pin.id for device in self.vehicle.all_of("ground") for pin in device.pins}
        earth = {"chassis", self._reference, *studs, *map(inside, studs)}
        off_earth = self._joined.subgraph(self._joined.nodes - earth)
        for source in self.vehicle.supply.sources:
            if source.alternating and source.emf_v[self.solution.state] > 0:
                for end in (inside(source.plus_pin), inside(source.minus_pin)):
                    if end in off_earth:
                        found |= nx.node_connected_component(off_earth, end)
        return frozenset(found)

    @cached_property
    def _joined(self) -> nx.Graph[str]:
        """What is one but for joints, wires and closed contacts."""
        joining = (b for b in self.solution.branches.values() if b.joins)
        return nx.Graph((b.a, b.b) for b in joining)

    def _place(self, pin: str) -> str:
        """The node of a pin, behind its contact where no wire goes to it."""
        place = place_of_pin(self.vehicle, pin)
        return place if place in self.solution.volts else inside(pin)

    @cached_property
    def _reference(self) -> str:
        return inside(self.vehicle.supply.earthed_pin)

    @cached_property
    def _island(self) -> dict[str, int]:
        """Nodes that something holds to each other have the same number.

        A load holds its pins together in every state, whether or not it takes current.
        """
        place = {node: number for number, node in enumerate(self.solution.volts)}
        branches = self.solution.branches.values()
        joined = [(b.a, b.b) for b in branches if b.ohms < HOLDS_OHM or b.kind == "source"]
        loads = (load for device in self.vehicle.devices.values() for load in device.loads)
        ends = ((inside(load.from_pin), inside(load.to_pin)) for load in loads)
        joined += [pair for pair in ends if pair[0] in place and pair[1] in place]
        at = np.array([(place[a], place[b]) for a, b in joined], dtype=np.intp).reshape(-1, 2)
        size = len(place)
        graph = coo_array((np.ones(len(at)), (at[:, 0], at[:, 1])), shape=(size, size))
        _, islands = connected_components(graph, directed=False)
        return dict(zip(place, islands.tolist(), strict=True))

    def _unsettled(self, plus: str, minus: str) -> Reading | None:
        """The reading where a contact that buzzes, or a supply without rest, moves the volts."""
        if not self.solution.unsettled:
            return None
        why = f"{', '.join(sorted(self.solution.unsettled))} without rest"
        if self.moved is None:
            return Reading("unsettled", why=why)
        here = self.solution.volts[plus] - self.solution.volts[minus]
        there = self.moved[plus] - self.moved[minus]
        if abs(here - there) < APART_V:
            return None
        low, high = sorted((here, there))
        return Reading("unsettled", None, tolerant(low), tolerant(high), why)

    def _pulsed(self, plus: str, minus: str, mean_v: float) -> Reading | None:
        """The mean of pulses, which a meter shows unless they are slow; None for a ripple."""
        swing = self.swings.across(plus, minus) if self.swings else None
        if swing is None:
            return None
        ends = [mean_v + v - swing.mean_v for v in swing.alone_v]
        if ends[1] - ends[0] < max(RIPPLE_V, RIPPLE_SHARE * max(map(abs, ends))):
            return None
        low, high = (tolerant(end) for end in ends)
        slow = swing.frequency_hz is not None and swing.frequency_hz < AVERAGES_HZ
        kind: Kind = "between" if slow else "average"
        return Reading(kind, tolerant(mean_v), low, high, SLOW if slow else PULSES)

    def _ends(self, place: str, moving: _Moving | None) -> tuple[Span, Span]:
        """Lowest and highest at a node against the battery's negative post."""
        volts = self.solution.volts
        if moving is None:
            return (within(volts[place], 0.0),) * 2
        lifted = volts[moving.minus] + volts[place] - volts[moving.meter]
        return moved(moving.low, lifted), moved(moving.high, lifted)

    def _tolerant(self, plus: str, minus: str, volts: float) -> Span:
        """Volts of a controller's own supply are as sure as it is; others as sure as a battery."""
        given = self._regulated.get(plus)
        if given is not None and minus not in self._regulated:
            return within(volts, WITHIN_V + given)
        return tolerant(volts)

    @cached_property
    def _regulated(self) -> dict[str, float]:
        """Node -> volts by which the source on its circuit may be off."""
        found: dict[str, float] = {}
        for device in self.vehicle.devices.values():
            for source in device.sources:
                pin = self.vehicle.pins[source.plus_pin].name
                own = device.written.sources.get(pin)
                if own is not None and f"source:{source.id}" in self.solution.branches:
                    for node in self._net(inside(source.plus_pin)):
                        found[node] = own.volts * own.tolerance
        return found

    def _net(self, node: str) -> Iterable[str]:
        """Nodes that wires and terminals join to one."""
        return nx.node_connected_component(self._wiring, node) if node in self._wiring else ()

    @cached_property
    def _wiring(self) -> nx.Graph[str]:
        wires = (b for b in self.solution.branches.values() if b.kind in ("wire", "pin"))
        joined: nx.Graph[str] = nx.Graph()
        joined.add_edges_from((b.a, b.b) for b in wires)
        return joined

    @cached_property
    def _moving(self) -> dict[str, _Moving]:
        """Node -> the sensor that moves it, of those that work here."""
        found: dict[str, _Moving] = {}
        for table in self.sensors.tables:
            moving = self._moved_by(table)
            if moving is not None:
                found |= dict.fromkeys(self._net(inside(table.pin)), moving)
        return found

    def _moved_by(self, table: SensorTable) -> _Moving | None:
        """What a sensor does to its circuit; None where it is cut off, asleep, or has one value."""
        signals = self.vehicle.devices[table.device].signals
        signal = next(s for s in signals if s.pin == table.pin)
        turns = self.vehicle.description.states[self.solution.state].engine > 0
        meter, minus = inside(table.meter_pin), inside(table.minus_pin)
        if meter not in self._net(inside(table.pin)) or minus not in self.solution.volts:
            return None
        if signal.written.inductive is not None:
            still = within(self.solution.volts[meter] - self.solution.volts[minus], WITHIN_V)
            why = "alternating while it turns"
            return _Moving("alternating", meter, minus, still, still, why) if turns else None
        if signal.written.switch is not None or not self._alive(table, signal):
            return None
        back_v = across(self.solution, signal.return_pin, table.minus_pin)
        spans = spans_lifted(signal, table.loop, back_v - table.return_v)
        if not spans:
            return None
        low = min(spans, key=lambda span: span.nominal)
        high = max(spans, key=lambda span: span.nominal)
        if signal.written.current is not None:
            low, high = (self._starved(table, signal, span) for span in (low, high))
        if signal.written.hall is None:
            return _Moving("between", meter, minus, low, high, "follows what the sensor measures")
        if turns:
            return _Moving("between", meter, minus, low, high, "switches as it turns")
        return _Moving("levels", meter, minus, low, high, "as the target happens to stand")

    def _starved(self, table: SensorTable, signal: Signal, span: Span) -> Span:
        """What a transmitter leaves over its resistor where its loop has too few volts for it."""
        ends = inside(signal.return_pin), inside(table.minus_pin)
        loop_v = self.solution.volts[ends[0]] - self.solution.volts[ends[1]]
        sender = {signal.pin, signal.return_pin}
        needs_v = max(
            (
                load.works_from_v
                for load in self.vehicle.devices[table.device].loads
                if {load.from_pin, load.to_pin} == sender
            ),
            default=0.0,
        )
        return Span(*(starved_v(v, loop_v, needs_v) for v in (span.low, span.nominal, span.high)))

    def _alive(self, table: SensorTable, signal: Signal) -> bool:
        """Whether the sensor has its own supply, and the controller's pull-up has volts."""
        volts, branches = self.solution.volts, self.solution.branches
        if table.loop.pull_up_ohm is not None:
            pull_ups = self.vehicle.devices[self.vehicle.pins[table.meter_pin].device].sources
            own = (f"source:{s.id}" for s in pull_ups if s.plus_pin == table.meter_pin)
            if not any(branch in branches for branch in own):
                return False
        elif signal.written.current is not None:
            return volts[inside(table.meter_pin)] - volts[inside(table.minus_pin)] > WITHIN_V
        if not signal.supply_pin:
            return True
        ends = inside(signal.supply_pin), inside(signal.return_pin)
        fed_v = volts.get(ends[0], 0.0) - volts.get(ends[1], 0.0)
        return fed_v >= FED_SHARE * table.loop.supply_v.nominal > 0


def readings(
    vehicle: Vehicle, harness: Harness, solved: Solved, sensors: Sensors
) -> dict[str, Readings]:
    """State -> what a meter shows at every place of the healthy vehicle."""
    settler = settler_of(vehicle, harness, solved)
    shown = readings_of(vehicle, settler, [Case(state) for state in solved.meter], sensors)
    return {r.solution.state: replace(r, solution=solved.meter[r.solution.state]) for r in shown}


AT_ONCE = 256
"""Cases whose readings are held side by side by those who need them one after another."""


def readings_one_by_one(
    vehicle: Vehicle, settler: Settler, cases: Sequence[Case], sensors: Sensors
) -> Iterator[Readings]:
    """As `readings_of`, of many cases in turn: bounds the memory."""
    for first in range(0, len(cases), AT_ONCE):
        yield from readings_of(vehicle, settler, cases[first : first + AT_ONCE], sensors)


def readings_of(
    vehicle: Vehicle, settler: Settler, cases: Sequence[Case], sensors: Sensors
) -> list[Readings]:
    """What a meter shows in each case, once it has settled."""
    settled = settler.settle(cases)
    solutions = [settler.solution(cases, settled, i) for i in range(len(cases))]
    beside = _moved_volts(settler, cases, solutions)
    swinging = swings(settler, cases, settled)
    each = zip(solutions, beside, swinging, strict=True)
    return [Readings(vehicle, at, sensors, other, swing) for at, other, swing in each]


def _moved_volts(
    settler: Settler, cases: Sequence[Case], solutions: Sequence[Solution]
) -> list[Mapping[str, float] | None]:
    """Volts of each case with its contacts that buzz closed; None where none does.

    None too where the supply itself does not come to rest: then no place is sure.
    """
    supply = {source.id for source in settler.prepared.network.sources}
    buzzing = [
        (place, replace(case, closed=case.closed | solution.unsettled))
        for place, (case, solution) in enumerate(zip(cases, solutions, strict=True))
        if solution.unsettled and not solution.unsettled & supply
    ]
    found: list[Mapping[str, float] | None] = [None] * len(cases)
    if buzzing:
        closed = [case for _, case in buzzing]
        settled = settler.settle(closed)
        for column, (place, _) in enumerate(buzzing):
            found[place] = settler.solution(closed, settled, column).volts
    return found

"""The readings of every sensor of the vehicle, in the loop that its wiring makes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import fsum
from statistics import median

from buildbook.description.models import Position
from buildbook.description.quantities import Measured
from buildbook.electrical.case import Case
from buildbook.electrical.conditions import AT_REST
from buildbook.electrical.model import (
    PairRow,
    PairTable,
    SensorRow,
    Sensors,
    SensorTable,
    Solution,
    Solved,
)
from buildbook.electrical.network import across, inside
from buildbook.electrical.sensors import (
    Loop,
    SensorReading,
    hall_reading,
    output_reading,
    ratio_of,
    reading,
    sum_of,
)
from buildbook.electrical.solve import settler_of
from buildbook.electrical.span import Span, around, exactly, moved
from buildbook.harness.model import Harness
from buildbook.vehicle.model import Device, Load, Signal, Source, Vehicle
from buildbook.vehicle.signals import law_of

NO_CURRENT_A = 1e-9
FED_V = 1.0
"""A sensor that no controller reads counts as fed from here."""


@dataclass(frozen=True)
class MeasuringPoint:
    """A signal and the pins that a meter goes on, its pull-up, and its state."""

    signal: Signal
    meter: str
    minus: str
    pull_up: Source | None
    state: str


def sense(vehicle: Vehicle, harness: Harness, solved: Solved) -> Sensors:
    """Tables of all signals and of double tracks, in the order of the description.

    Each sensor's loop is measured on the solved network as a meter would: once as it stands, once
    with the sensor's own current away, which parts its leads from what others do to its return.
    """
    places = [
        place_of(vehicle, solved, signal)
        for device in vehicle.devices.values()
        for signal in device.signals
    ]
    loops = _loops(vehicle, harness, solved, places)
    tables = tuple(
        _table(vehicle, solved, place, loop) for place, loop in zip(places, loops, strict=True)
    )
    return Sensors(tables, _pair_tables(vehicle, tables))


def _pair_tables(vehicle: Vehicle, tables: Iterable[SensorTable]) -> tuple[PairTable, ...]:
    """Double tracks side by side, at the values that the first track is shown for."""
    by_pin = {table.pin: table for table in tables}
    found = []
    for device in vehicle.devices.values():
        signals = {signal.pin: signal for signal in device.signals}
        for pair in device.written.pairs:
            one, other = (f"{device.id}.{track}" for track in pair.tracks)
            if not {one, other} <= by_pin.keys():
                continue
            first, second = signals[one], signals[other]
            rows = tuple(
                _pair_row(value, pair.sum is not None, (first, second), by_pin)
                for value in shown(first)
            )
            what, wanted = ("sum", pair.sum) if pair.sum is not None else ("ratio", pair.ratio)
            found.append(PairTable(device.id, (one, other), what, wanted or 0.0, pair.within, rows))
    return tuple(found)


def _pair_row(
    value: Measured, added: bool, tracks: tuple[Signal, Signal], tables: Mapping[str, SensorTable]
) -> PairRow:
    first, second = (_track_v(value, signal, tables[signal.pin].loop) for signal in tracks)
    together = sum_of(first, second) if added else ratio_of(first, second)
    return PairRow(str(value), first, second, together)


def _track_v(value: Measured, signal: Signal, loop: Loop) -> Span:
    """Volts of one track of a pair, which the description checks to be a voltage output."""
    output = signal.written.volts
    assert output is not None
    nominal = replace(
        loop, supply_v=exactly(loop.supply_v.nominal), to_v=exactly(loop.to_v.nominal)
    )
    volts = output_reading(value, output, nominal).volts
    assert volts is not None
    return volts


def shown(signal: Signal) -> list[Measured]:
    """Values to give readings for: the author's, else those of the characteristic's points."""
    given = signal.written
    if given.show:
        return list(given.show)
    if given.ntc is not None:
        return [Measured(celsius, "degC") for celsius, _ in given.ntc.points]
    points = given.ohms or given.volts or given.current
    return [at for at, _ in points.points] if points else []


def place_of(vehicle: Vehicle, solved: Solved, signal: Signal) -> MeasuringPoint:
    """Where a meter goes: the controller's pin and the ground its pull-up works against."""
    meter = controller_pin(vehicle, signal.pin, signal.device)
    if meter is None:
        state = signal.written.state or _fed_state(vehicle, solved, signal)
        return MeasuringPoint(signal, signal.pin, signal.return_pin, None, state)
    controller = vehicle.devices[vehicle.pins[meter].device]
    pull_up = next(
        (
            s
            for s in controller.sources
            if s.plus_pin == meter and vehicle.pins[meter].name in controller.written.inputs
        ),
        None,
    )
    minus = pull_up.minus_pin if pull_up else _sensor_ground(vehicle, controller, signal)
    state = signal.written.state or _alive_state(vehicle, solved, controller)
    return MeasuringPoint(signal, meter, minus, pull_up, state)


def controller_pin(vehicle: Vehicle, pin: str, own: str) -> str | None:
    """Pin of another, powered device on the signal's circuit; one with an input first."""
    found = [
        other
        for circuit in vehicle.circuit_of_pin.get(pin, ())
        for other in vehicle.circuits[circuit].pins
        if other.device != own and vehicle.devices[other.device].written.power is not None
    ]
    inputs = [p for p in found if p.name in vehicle.devices[p.device].written.inputs]
    return next((p.id for p in [*inputs, *found]), None)


def _sensor_ground(vehicle: Vehicle, controller: Device, signal: Signal) -> str:
    """The controller's ground that the sensor's return comes to, else its first."""
    power = controller.written.power
    grounds = [f"{controller.id}.{name}" for name in power.grounds] if power else []
    for circuit in vehicle.circuit_of_pin.get(signal.return_pin, ()):
        for pin in vehicle.circuits[circuit].pins:
            if pin.id in grounds:
                return pin.id
    return grounds[0]


def _alive_state(vehicle: Vehicle, solved: Solved, controller: Device) -> str:
    """First state with the engine at rest in which the controller works, else the first alive."""
    alive = [s for s in vehicle.states if _works(controller, solved.meter[s])]
    states = vehicle.description.states
    at_rest = [state for state in alive if not states[state].engine]
    return next(iter([*at_rest, *alive, *vehicle.states]))


def _fed_state(vehicle: Vehicle, solved: Solved, signal: Signal) -> str:
    """First state in which a sensor without a controller has volts on its supply."""
    pin = inside(signal.supply_pin or signal.pin)
    fed = [s for s in vehicle.states if solved.meter[s].volts.get(pin, 0.0) > FED_V]
    return next(iter([*fed, *vehicle.states]))


def loads_of(vehicle: Vehicle, signal: Signal) -> tuple[Load, ...]:
    """Those of the sensor between the two pins of a signal."""
    ends = {signal.pin, signal.return_pin}
    loads = vehicle.devices[signal.device].loads
    return tuple(load for load in loads if {load.from_pin, load.to_pin} == ends)


def _loads(vehicle: Vehicle, signal: Signal) -> frozenset[str]:
    """The branches of these."""
    return frozenset(f"load:{load.id}" for load in loads_of(vehicle, signal))


def _loops(
    vehicle: Vehicle, harness: Harness, solved: Solved, places: list[MeasuringPoint]
) -> list[Loop]:
    if not places:
        return []
    settler = settler_of(vehicle, harness, solved)
    cases = [Case(p.state, opened=_loads(vehicle, p.signal)) for p in places]
    settled = settler.settle(cases)
    return [
        _loop(vehicle, place, solved.meter[place.state], settler.solution(cases, settled, column))
        for column, place in enumerate(places)
    ]


def _loop(vehicle: Vehicle, place: MeasuringPoint, there: Solution, away: Solution) -> Loop:
    """The loop of a signal, from the solution with the sensor in it and with it away."""
    signal = place.signal
    if place.pull_up is None and (signal.written.switch or signal.written.current):
        return Loop(to_v=exactly(0.0), supply_v=exactly(0.0))
    offset_v = across(away, signal.return_pin, place.minus)
    amps = fsum(there.current_a.get(branch, 0.0) for branch in _loads(vehicle, signal))
    lost_v = across(there, place.meter, signal.pin)
    lost_v += across(there, signal.return_pin, place.minus) - offset_v
    lead_ohm = abs(lost_v / amps) if abs(amps) > NO_CURRENT_A else 0.0
    supply = exactly(0.0)
    if signal.supply_pin:
        nominal = across(away, signal.supply_pin, signal.return_pin)
        supply = around(nominal, _supply_tolerance(vehicle, signal.supply_pin))
    if place.pull_up is None:
        return Loop(None, exactly(0.0), lead_ohm, offset_v, supply)
    pin = vehicle.pins[place.meter]
    given = vehicle.devices[pin.device].written.inputs[pin.name]
    ohms = around(place.pull_up.ohms, given.tolerance)
    to_v = around(place.pull_up.volts, given.volts_tolerance)
    return Loop(ohms, to_v, lead_ohm, offset_v, supply)


def _supply_tolerance(vehicle: Vehicle, pin: str) -> float:
    """Tolerance of the controller's source on the circuit of a supply pin; 0 for none."""
    for circuit in vehicle.circuit_of_pin.get(pin, ()):
        for other in vehicle.circuits[circuit].pins:
            source = vehicle.devices[other.device].written.sources.get(other.name)
            if source is not None:
                return source.tolerance
    return 0.0


def _table(vehicle: Vehicle, solved: Solved, place: MeasuringPoint, loop: Loop) -> SensorTable:
    signal = place.signal
    given = signal.written
    if given.switch is not None:
        rows = _switch_rows(vehicle, solved, place, given.switch, loop)
    elif given.hall is not None:
        rows = [
            _row(vehicle, place, given.hall.on, hall_reading(True, given.hall, loop)),
            _row(vehicle, place, given.hall.off, hall_reading(False, given.hall, loop)),
        ]
    else:
        rows = [
            _row(vehicle, place, str(value), reading(given, value, loop)) for value in shown(signal)
        ]
    if given.inductive is not None:
        still = reading(given, Measured(0.0, "rpm"), loop)
        rows = [SensorRow(AT_REST, still.ohms), *rows]
    return SensorTable(
        signal.device,
        signal.pin,
        signal.return_pin,
        place.meter,
        place.minus,
        law_of(given),
        "" if given.switch else place.state,
        loop,
        tuple(rows),
        loop.to_v if loop.pull_up_ohm is not None else None,
        across(solved.meter[place.state], signal.return_pin, place.minus),
    )


def spans_lifted(signal: Signal, loop: Loop, by_v: float) -> list[Span]:
    """What a signal with a characteristic makes at the controller's pin, its return lifted.

    Its own supply, which the controller gives against its own ground, is that much less.
    """
    here = replace(loop, offset_v=loop.offset_v + by_v, supply_v=moved(loop.supply_v, -by_v))
    given = signal.written
    if given.hall is not None:
        found = [hall_reading(on, given.hall, here) for on in (True, False)]
    else:
        found = [reading(given, value, here) for value in shown(signal)]
    return [one.volts for one in found if one.volts is not None]


def _row(vehicle: Vehicle, place: MeasuringPoint, when: str, found: SensorReading) -> SensorRow:
    level = ""
    if place.signal.written.hall or place.signal.written.switch:
        level = _level(vehicle, place.meter, found.volts)
    return SensorRow(when, found.ohms, found.volts, found.alternating, level)


def _level(vehicle: Vehicle, meter: str, volts: Span | None) -> str:
    """How the controller's input takes a voltage: low, high, or between its levels."""
    pin = vehicle.pins[meter]
    given = vehicle.devices[pin.device].written.inputs.get(pin.name)
    if given is None or volts is None or given.low is None or given.high is None:
        return ""
    if volts.high <= given.low:
        return "low"
    return "high" if volts.low >= given.high else "between"


def _switch_rows(
    vehicle: Vehicle, solved: Solved, place: MeasuringPoint, position: Position, loop: Loop
) -> list[SensorRow]:
    """Volts at the pin with the switch open, and closed, over all states in which it is read.

    Where a state leaves the switch open, the volts beyond its contact stand for those closed.
    The span is over the states, and over what a pull-up's volts may be.
    """
    signal = place.signal
    reader = vehicle.devices[vehicle.pins[place.meter].device]
    contacts = {
        c.id: c.to_pin if c.from_pin == signal.pin else c.from_pin
        for c in vehicle.devices[signal.device].contacts
        if signal.pin in (c.from_pin, c.to_pin)
    }
    opened, closed = [], []
    for solution in (s for s in solved.meter.values() if _works(reader, s)):
        volts = across(solution, place.meter, place.minus)
        if contacts.keys() & solution.closed:
            closed.append(volts)
        else:
            opened.append(volts)
            closed += [across(solution, far, place.minus) for far in contacts.values()]
    rows = []
    for words, seen in (
        (position.open, opened),
        (position.closed, closed),
    ):
        if not seen:
            continue
        span = Span(min(seen), median(seen), max(seen))
        if loop.pull_up_ohm is not None and seen is opened:
            low, high = loop.to_v.low / loop.to_v.nominal, loop.to_v.high / loop.to_v.nominal
            span = Span(span.low * low, span.nominal, span.high * high)
        rows.append(_row(vehicle, place, words, SensorReading(volts=span)))
    return rows


def _works(device: Device, solution: Solution) -> bool:
    """True with enough volts on a device, or where it says nothing of its power."""
    power = device.written.power
    if power is None:
        return True
    feed, ground = f"{device.id}.{power.feeds[0]}", f"{device.id}.{power.grounds[0]}"
    return across(solution, feed, ground) >= power.works_from

"""First power-up: what to measure with the fuses out, and in which order they go in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from buildbook.checks.buzzing import devices_that_buzz
from buildbook.electrical.case import Case
from buildbook.electrical.model import Sensors, Solution, Solved
from buildbook.electrical.ohmmeter import ohms_between
from buildbook.electrical.reading import Reading
from buildbook.electrical.readings import Readings
from buildbook.faultfinding.at_work import works
from buildbook.faultfinding.fuse_order import fuse_order, needed_fuses, own_a, risk
from buildbook.faultfinding.lamp_in_the_feed import lamp_for, looks_of_test_lamp
from buildbook.faultfinding.still_car import Setting, StillCar, case_of, fed_node, load_side
from buildbook.harness.model import Harness
from buildbook.sizing.drop_allowance import is_signal
from buildbook.vehicle.model import Device, Load, Vehicle

LIMITER_A = 5.0
"""Fuse of the lead through which the battery goes on first. Common practice, no source."""

LIMITER_SHARE = 0.8
"""Share of its rating that it is asked to carry before the full feed takes its place."""

PASSES_A = 1e-3
"""Under this a fuse carries nothing that a clamp meter shows."""


@dataclass(frozen=True)
class OhmCheck:
    """Expected ohms from a pin to the body (or to the battery's minus), battery and fuses out."""

    pin: str
    ohms: float


@dataclass(frozen=True)
class FeedCheck:
    """A fuse's load side to the body: switches at rest, and as they give the least."""

    fuse: str
    ohms: float
    least_ohms: float
    state: str
    """Whose switches give the least."""


@dataclass(frozen=True)
class FuseStep:
    """One fuse goes in; the fuses of the steps before are in already, the others are out.

    `rest_a` is what the battery gives with the switches at rest. With the switches as in
    `state` and the engine still, the fuse carries `fuse_a`, its load side reads `reading`
    against the battery's minus, and the battery gives `battery_a`.
    """

    fuse: str
    risk: int
    waits_for: tuple[str, ...]
    """Fuses without which what it feeds does not work."""
    rest_a: float
    state: str
    stopped: bool
    """The state is one of a running engine: only its hand switches are set."""
    fuse_a: float
    reading: Reading
    battery_a: float
    wakes: tuple[str, ...]
    """Ids of devices that begin to work with this fuse."""
    feeds: tuple[str, ...]
    """Ids of devices whose nearest fuse it is."""
    lamp: str
    """How a test lamp in place of the battery's feed then looks: dark, glows, bright, flickers."""
    buzzing: tuple[str, ...] = ()
    """Ids of devices with a contact that comes to rest in neither position: no figure is sure."""

    @property
    def past_limiter(self) -> bool:
        """True where the limiting lead would be asked for too much."""
        return max(self.rest_a, self.battery_a) > LIMITER_SHARE * LIMITER_A


@dataclass(frozen=True)
class PowerUp:
    rest: str
    """The state in which the vehicle is left while fuses go in."""
    isolator: str
    """How the isolator stands in it, and so while ohms are measured: closed, open; '' for none."""
    main: OhmCheck
    """The battery's plus lead to the body."""
    grounds: tuple[OhmCheck, ...]
    """Each ground point's stud to the battery's minus lead."""
    feeds: tuple[FeedCheck, ...]
    steps: tuple[FuseStep, ...]


def power_up(vehicle: Vehicle, harness: Harness, solved: Solved, sensors: Sensors) -> PowerUp:
    """The commissioning sequence of a vehicle, every step solved with just those fuses in."""
    car = StillCar.of(vehicle, harness, solved, sensors)
    rest = car.rest()
    all_out = [f"fuse:{fuse.id}" for fuse in car.fuses]
    opened = frozenset(all_out) | _electronics(vehicle)
    live, earthed = vehicle.supply.live_pin, vehicle.supply.earthed_pin
    # The lead is off its post: measured at the wire's side, battery out of the network.
    main, *studs = ohms_between(
        car.settler,
        rest.state,
        opened,
        [(live, "chassis"), *((pin, earthed) for pin in _studs(vehicle))],
    )
    grounds = zip(_studs(vehicle), studs, strict=True)
    return PowerUp(
        rest.state,
        isolator_in(vehicle, rest.state),
        OhmCheck(live, main),
        tuple(OhmCheck(pin, ohms) for pin, ohms in grounds),
        _feed_checks(car, rest, opened),
        _steps(car, rest),
    )


def isolator_in(vehicle: Vehicle, state: str) -> str:
    """'closed' where every isolator conducts in a state, 'open' where one does not, '' for none."""
    isolators = vehicle.all_of("isolator")
    if not isolators:
        return ""
    closed = all(any(state in c.states for c in device.contacts) for device in isolators)
    return "closed" if closed else "open"


def _studs(vehicle: Vehicle) -> list[str]:
    return [device.pins[0].id for device in vehicle.all_of("ground")]


def _electronics(vehicle: Vehicle) -> frozenset[str]:
    """Loads of what is unplugged while ohms are measured: a meter cannot judge electronics."""
    return frozenset(
        f"load:{load.id}"
        for device in vehicle.devices.values()
        if device.written.power
        for load in device.loads
    )


def _feed_checks(car: StillCar, rest: Setting, opened: frozenset[str]) -> tuple[FeedCheck, ...]:
    pairs = [(fed_node(fuse), "chassis") for fuse in car.fuses]
    at_rest = ohms_between(car.settler, rest.state, opened, pairs)
    each = {
        s.state: ohms_between(car.settler, s.state, opened | s.opened, pairs) for s in car.settings
    }
    found = []
    for place, fuse in enumerate(car.fuses):
        least = min(each, key=lambda s: round(each[s][place], 3), default=rest.state)
        ohms = each[least][place] if each else at_rest[place]
        found.append(FeedCheck(fuse.id, at_rest[place], ohms, least))
    return tuple(found)


def _at_fuse(shown: Readings, fuse: Device) -> Reading:
    """What a meter shows on a fuse's load side."""
    reading = shown.at_pin(load_side(fuse))
    assert reading is not None, "both sides of a fuse are in every network"
    return reading


def _steps(car: StillCar, rest: Setting) -> tuple[FuseStep, ...]:
    needs = needed_fuses(car)
    order = fuse_order({f.id: (risk(car, f.id), own_a(car, f.id)) for f in car.fuses}, needs)
    tried = _test_settings(car, rest)
    fuse_of = {fuse.id: fuse for fuse in car.fuses}
    wanted = []
    for place, fuse in enumerate(order):
        later, still_out = frozenset(order[place + 1 :]), frozenset(order[place:])
        wanted += [(rest, later), (tried[fuse], later), (tried[fuse], still_out)]
    readings = car.readings(wanted)
    looks = _looks_of_lamp(car, [case_of(*wanted[3 * place + 1]) for place in range(len(order))])
    found = []
    for place, fuse in enumerate(order):
        at_rest, shown, without = (next(readings) for _ in range(3))
        quiet, on, before = at_rest.solution, shown.solution, without.solution
        working = _working(car.vehicle, before)
        wakes = [d for d in _working(car.vehicle, on) if d not in working]
        found.append(
            FuseStep(
                fuse,
                risk(car, fuse),
                _at_once(fuse, order, needs),
                max(0.0, -quiet.charging_a),
                tried[fuse].state,
                tried[fuse].stopped,
                abs(on.current_a.get(f"fuse:{fuse}", 0.0)),
                _at_fuse(shown, fuse_of[fuse]),
                max(0.0, -on.charging_a),
                tuple(wakes),
                tuple(dict.fromkeys(load.device for load in car.own[fuse])),
                looks[place],
                devices_that_buzz(car.vehicle, quiet.unsettled | on.unsettled),
            )
        )
    return tuple(found)


def _looks_of_lamp(car: StillCar, cases: Sequence[Case]) -> list[str]:
    plus = car.vehicle.supply.battery.plus_pin
    lamp = lamp_for(car.vehicle.description.vehicle.nominal)
    return looks_of_test_lamp(car.settler, cases, f"pin:{plus}", lamp)


def _at_once(
    fuse: str, order: Sequence[str], needs: Mapping[str, frozenset[str]]
) -> tuple[str, ...]:
    """What a fuse needs, without what those need in their turn."""
    before = [f for f in order[: order.index(fuse)] if f in needs[fuse]]
    return tuple(f for f in before if not any(f in needs[other] for other in before))


def _test_settings(car: StillCar, rest: Setting) -> dict[str, Setting]:
    """Fuse -> where it carries most, all fuses in: the engine off, else a running state's switches.

    At rest where it carries nothing in any.
    """
    solutions = list(car.solutions([(s, frozenset()) for s in car.settings]))
    found = {}
    for fuse in car.fuses:
        amps = [abs(s.current_a.get(f"fuse:{fuse.id}", 0.0)) for s in solutions]
        carrying = [
            (setting.stopped, -round(a, 6), place)
            for place, (setting, a) in enumerate(zip(car.settings, amps, strict=True))
            if a >= PASSES_A
        ]
        found[fuse.id] = car.settings[min(carrying)[2]] if carrying else rest
    return found


def _working(vehicle: Vehicle, solution: Solution) -> Iterable[str]:
    """Ids of devices that are there, with a load that has what it works from.

    What electronics hear on a wire does not count: the bus holds a display's resistor at its
    volts before the display has a feed, and a fuse later it would not seem to wake.
    """
    return tuple(
        device.id
        for device in vehicle.devices.values()
        if device.written.fitted == "yes"
        and any(works(load, solution) for load in _telling(vehicle, device))
    )


def _telling(vehicle: Vehicle, device: Device) -> tuple[Load, ...]:
    """Loads by which a device is seen to work: those that feed it, where it is electronics."""
    fed = tuple(load for load in device.loads if not is_signal(vehicle, load))
    return fed if device.written.power and fed else device.loads

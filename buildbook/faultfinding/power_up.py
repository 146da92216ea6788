"""First power-up: what to measure with the fuses out, and in which order they go in."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from buildbook.checks.buzzing import devices_that_buzz
from buildbook.electrical.case import Case
from buildbook.electrical.model import Sensors, Solution, Solved
from buildbook.electrical.network import build_network, inside, network_ohms, volts_while_on
from buildbook.electrical.ohmmeter import ohms_between
from buildbook.electrical.reading import Reading
from buildbook.electrical.readings import Readings, readings_of
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import METER
from buildbook.faultfinding.effects import DEAD_SHARE, LEAST_V
from buildbook.faultfinding.lamp_in_the_feed import lamp_for, looks_of_test_lamp
from buildbook.harness.model import Harness
from buildbook.sizing.load_paths import cranking_states, load_paths
from buildbook.vehicle.model import Device, Load, Vehicle

LIMITER_A = 5.0
"""Fuse of the lead through which the battery goes on first. Common practice, no source."""

LIMITER_SHARE = 0.8
"""Share of its rating that it is asked to carry before the full feed takes its place."""

BIG_A = 10.0
"""A fuse that carries more goes in after the small ones. Our choice."""

PASSES_A = 1e-3
"""Under this a fuse carries nothing that a clamp meter shows."""

TURNING = ("ignition coil", "injector")
"""Kinds of device that draw only while the engine turns."""

ORDINARY, BIG, MOVES, FIRES = range(4)
"""What a fuse can do if something behind it is wrong, mildest first."""


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


@dataclass(frozen=True)
class _Setting:
    """Switches as in a state, and what stays open in it because the engine is still."""

    state: str
    opened: frozenset[str]
    stopped: bool


@dataclass(frozen=True)
class _Car:
    vehicle: Vehicle
    solved: Solved
    sensors: Sensors
    settler: Settler
    fuses: tuple[Device, ...]
    settings: tuple[_Setting, ...]
    own: Mapping[str, tuple[Load, ...]]
    """Fuse -> loads of which it is the nearest fuse."""

    def solutions(self, wanted: Sequence[tuple[_Setting, frozenset[str]]]) -> list[Solution]:
        """Each setting with its set of fuses out, all in one pass."""
        return [shown.solution for shown in self.readings(wanted)]

    def readings(self, wanted: Sequence[tuple[_Setting, frozenset[str]]]) -> list[Readings]:
        """What a meter shows in each setting with its set of fuses out, all in one pass."""
        if not wanted:
            return []
        cases = [case_of(setting, out) for setting, out in wanted]
        return readings_of(self.vehicle, self.settler, cases, self.sensors)


def case_of(setting: _Setting, out: frozenset[str]) -> Case:
    """A setting with a set of fuses out, as a meter reads it."""
    return Case(setting.state, METER, setting.opened | {f"fuse:{fuse}" for fuse in out})


def power_up(vehicle: Vehicle, harness: Harness, solved: Solved, sensors: Sensors) -> PowerUp:
    """The commissioning sequence of a vehicle, every step solved with just those fuses in."""
    settler = Settler(build_network(vehicle, harness, *network_ohms(solved)))
    fuses = vehicle.all_of("fuse")
    settings, own = _settings(vehicle, solved), _own_loads(vehicle, solved)
    car = _Car(vehicle, solved, sensors, settler, fuses, settings, own)
    rest = _rest(car)
    all_out = [f"fuse:{fuse.id}" for fuse in fuses]
    opened = frozenset(all_out) | _electronics(vehicle)
    live, earthed = vehicle.supply.live_pin, vehicle.supply.earthed_pin
    # The lead is off its post: measured at the wire's side, battery out of the network.
    main, *studs = ohms_between(
        settler,
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


def _settings(vehicle: Vehicle, solved: Solved) -> tuple[_Setting, ...]:
    """Every state that can be set with the engine still: none that cranks.

    In a running engine's state the alternator gives nothing, coils and injectors wait for the
    engine to turn, and a controller's other outputs stay open but for those that it also closes
    with the engine still.
    """
    engine = {name: state.engine for name, state in vehicle.description.states.items()}
    cranks = cranking_states(vehicle, solved.meter)
    devices = vehicle.devices.values()
    drivers = [c for device in devices for c in device.contacts if c.kind == "driver"]
    kept_off = {"alternator"}
    kept_off |= {f"contact:{c.id}" for c in drivers if not any(engine[s] == 0 for s in c.states)}
    kept_off |= {f"load:{x.id}" for d in devices if d.kind in TURNING for x in d.loads}
    return tuple(
        _Setting(state, frozenset(kept_off if engine[state] else {"alternator"}), engine[state] > 0)
        for state in vehicle.states
        if state not in cranks
    )


def _rest(car: _Car) -> _Setting:
    """The setting that takes least from the battery with all fuses in, engine off where it can."""
    still = [s for s in car.settings if not s.stopped] or list(car.settings)
    if not still:
        state = car.vehicle.states[0]
        return _Setting(state, frozenset({"alternator"}), stopped=False)
    given = [-s.charging_a for s in car.solutions([(s, frozenset()) for s in still])]
    return still[given.index(min(given))]


def _own_loads(vehicle: Vehicle, solved: Solved) -> dict[str, tuple[Load, ...]]:
    """Fuse -> loads whose current passes it last, in any state."""
    found: dict[str, dict[str, Load]] = {fuse.id: {} for fuse in vehicle.all_of("fuse")}
    for path in load_paths(vehicle, solved.meter):
        nearest = next((b.ref for b in path.feed if b.kind == "fuse"), None)
        if nearest in found:
            found[nearest][path.load.id] = path.load
    return {fuse: tuple(loads.values()) for fuse, loads in found.items()}


def _feed_checks(car: _Car, rest: _Setting, opened: frozenset[str]) -> tuple[FeedCheck, ...]:
    pairs = [(_out(fuse), "chassis") for fuse in car.fuses]
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
    reading = shown.at_pin(_out_pin(fuse))
    assert reading is not None, "both sides of a fuse are in every network"
    return reading


def _out_pin(fuse: Device) -> str:
    return next(bond.to_pin for bond in fuse.bonds if bond.kind == "fuse")


def _out(fuse: Device) -> str:
    """Node inside a fuse's load side."""
    return inside(_out_pin(fuse))


def _steps(car: _Car, rest: _Setting) -> tuple[FuseStep, ...]:
    needs = _needs(car)
    order = fuse_order({f.id: (_risk(car, f.id), _own_a(car, f.id)) for f in car.fuses}, needs)
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
        shown = readings[3 * place + 1]
        quiet, on, before = (r.solution for r in readings[3 * place : 3 * place + 3])
        working = _working(car.vehicle, before)
        wakes = [d for d in _working(car.vehicle, on) if d not in working]
        found.append(
            FuseStep(
                fuse,
                _risk(car, fuse),
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


def _looks_of_lamp(car: _Car, cases: Sequence[Case]) -> list[str]:
    plus = car.vehicle.supply.battery.plus_pin
    lamp = lamp_for(car.vehicle.description.vehicle.nominal)
    return looks_of_test_lamp(car.settler, cases, f"pin:{plus}", lamp)


def _at_once(
    fuse: str, order: Sequence[str], needs: Mapping[str, frozenset[str]]
) -> tuple[str, ...]:
    """What a fuse needs, without what those need in their turn."""
    before = [f for f in order[: order.index(fuse)] if f in needs[fuse]]
    return tuple(f for f in before if not any(f in needs[other] for other in before))


def _needs(car: _Car) -> dict[str, frozenset[str]]:
    """Fuse -> fuses without which something that it feeds is dead: above it, or at its relay."""
    states = [_Setting(s, frozenset(), stopped=False) for s in car.vehicle.states]
    ids = [fuse.id for fuse in car.fuses]
    healthy = car.solutions([(s, frozenset()) for s in states])
    opened = car.solutions([(s, frozenset({fuse})) for fuse in ids for s in states])
    needs: dict[str, set[str]] = {fuse: set() for fuse in ids}
    sign = car.vehicle.supply.reading_sign
    for row, without in enumerate(ids):
        for well, ill in zip(healthy, opened[row * len(states) :], strict=False):
            for fuse in car.fuses:
                well_v, ill_v = (sign * at.volts[_out(fuse)] for at in (well, ill))
                lost = _goes_dark(well_v, ill_v)
                if lost or any(_dies(load, well, ill) for load in car.own[fuse.id]):
                    needs[fuse.id].add(without)
    return {fuse: frozenset(found - {fuse}) for fuse, found in needs.items()}


def _dies(load: Load, well: Solution, ill: Solution) -> bool:
    healthy = volts_while_on(well, load)
    works = well.state in load.states and healthy >= max(load.working_v, LEAST_V)
    return works and _goes_dark(healthy, volts_while_on(ill, load))


def _goes_dark(healthy_v: float, volts: float) -> bool:
    return healthy_v >= LEAST_V and volts < DEAD_SHARE * healthy_v


def _own_a(car: _Car, fuse: str) -> float:
    """Most that the loads of a fuse take at once, in any state."""
    return max(
        sum(abs(s.current_a.get(f"load:{load.id}", 0.0)) for load in car.own[fuse])
        for s in car.solved.meter.values()
    )


def _risk(car: _Car, fuse: str) -> int:
    """The worst that something behind a fuse can do."""
    devices = [car.vehicle.devices[load.device] for load in car.own[fuse]]
    kinds = {device.kind for device in devices}
    cautions = {device.written.caution for device in devices}
    if kinds & {*TURNING} or "fuel" in cautions:
        return FIRES
    if kinds & {"starter", "motor"} or cautions & {"moving", "cranking"}:
        return MOVES
    return BIG if _own_a(car, fuse) > BIG_A else ORDINARY


def fuse_order(
    damage: Mapping[str, tuple[int, float]], needs: Mapping[str, frozenset[str]]
) -> tuple[str, ...]:
    """Fuses in the order of least damage (risk, then amps), each after those that it needs.

    Where fuses need each other the least damaging goes first.
    """
    rank = {fuse: (*damage[fuse], fuse) for fuse in damage}
    waiting = {fuse: set(needs[fuse]) - {fuse} for fuse in damage}
    order: list[str] = []
    while waiting:
        ready = [rank[fuse] for fuse, before in waiting.items() if not before & waiting.keys()]
        heapq.heapify(ready)
        _, _, fuse = ready[0] if ready else min(rank[f] for f in waiting)
        order.append(fuse)
        del waiting[fuse]
    return tuple(order)


def _test_settings(car: _Car, rest: _Setting) -> dict[str, _Setting]:
    """Fuse -> where it carries most, all fuses in: the engine off, else a running state's switches.

    At rest where it carries nothing in any.
    """
    solutions = car.solutions([(s, frozenset()) for s in car.settings])
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
    """Ids of devices with a load that has what it works from."""
    found = dict.fromkeys(
        load.device
        for device in vehicle.devices.values()
        for load in device.loads
        if solution.state in load.states
        and volts_while_on(solution, load) >= max(load.working_v, LEAST_V)
    )
    return tuple(found)

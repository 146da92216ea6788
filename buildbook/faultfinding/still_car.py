"""The car with its engine still: switches as in a state, any fuses out, and what a meter shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from buildbook.electrical.case import METER, Case
from buildbook.electrical.model import Sensors, Solution, Solved
from buildbook.electrical.network import inside
from buildbook.electrical.readings import Readings, readings_one_by_one
from buildbook.electrical.settle import Settler
from buildbook.electrical.solve import settler_of
from buildbook.harness.model import Harness
from buildbook.sizing.load_paths import cranking_states, load_paths
from buildbook.vehicle.model import Device, Load, Vehicle

TURNING = ("ignition coil", "injector")
"""Kinds of device that draw only while the engine turns."""


@dataclass(frozen=True)
class Setting:
    """Switches as in a state, and what stays open in it because the engine is still."""

    state: str
    opened: frozenset[str]
    stopped: bool


@dataclass(frozen=True)
class StillCar:
    """A car whose fuses go in one after another, the engine still."""

    vehicle: Vehicle
    solved: Solved
    sensors: Sensors
    settler: Settler
    fuses: tuple[Device, ...]
    settings: tuple[Setting, ...]
    own: Mapping[str, tuple[Load, ...]]
    """Fuse -> loads of which it is the nearest fuse."""

    @classmethod
    def of(cls, vehicle: Vehicle, harness: Harness, solved: Solved, sensors: Sensors) -> StillCar:
        settler = settler_of(vehicle, harness, solved)
        return cls(
            vehicle,
            solved,
            sensors,
            settler,
            vehicle.all_of("fuse"),
            _settings(vehicle, solved),
            _own_loads(vehicle, solved),
        )

    def rest(self) -> Setting:
        """The setting that takes least from the battery, all fuses in; engine off where it can."""
        still = [s for s in self.settings if not s.stopped] or list(self.settings)
        if not still:
            return Setting(self.vehicle.states[0], _driven(self.vehicle), stopped=False)
        given = [-s.charging_a for s in self.solutions([(s, frozenset()) for s in still])]
        return still[given.index(min(given))]

    def solutions(self, wanted: Sequence[tuple[Setting, frozenset[str]]]) -> Iterator[Solution]:
        """Each setting with its set of fuses out, one after another."""
        return (shown.solution for shown in self.readings(wanted))

    def readings(self, wanted: Sequence[tuple[Setting, frozenset[str]]]) -> Iterator[Readings]:
        """What a meter shows in each setting with its set of fuses out, one after another."""
        cases = [case_of(setting, out) for setting, out in wanted]
        return readings_one_by_one(self.vehicle, self.settler, cases, self.sensors)


def case_of(setting: Setting, out: frozenset[str]) -> Case:
    """A setting with a set of fuses out, as a meter reads it."""
    return Case(setting.state, METER, setting.opened | {f"fuse:{fuse}" for fuse in out})


def load_side(fuse: Device) -> str:
    """Id of the pin on a fuse's load side."""
    return next(bond.to_pin for bond in fuse.bonds if bond.kind == "fuse")


def fed_node(fuse: Device) -> str:
    """Node inside a fuse's load side."""
    return inside(load_side(fuse))


def _settings(vehicle: Vehicle, solved: Solved) -> tuple[Setting, ...]:
    """Every state that can be set with the engine still: none that cranks.

    In a running engine's state what it drives gives nothing, coils and injectors wait for the
    engine to turn, and a controller's other outputs stay open but for those that it also closes
    with the engine still.
    """
    engine = {name: state.engine for name, state in vehicle.description.states.items()}
    cranks = cranking_states(vehicle, solved.meter)
    devices = vehicle.devices.values()
    drivers = [c for device in devices for c in device.contacts if c.kind == "driver"]
    driven = _driven(vehicle)
    kept_off = {*driven}
    kept_off |= {f"contact:{c.id}" for c in drivers if not any(engine[s] == 0 for s in c.states)}
    kept_off |= {f"load:{x.id}" for d in devices if d.kind in TURNING for x in d.loads}
    return tuple(
        Setting(state, frozenset(kept_off if engine[state] else driven), engine[state] > 0)
        for state in vehicle.states
        if state not in cranks
    )


def _driven(vehicle: Vehicle) -> frozenset[str]:
    """Sources that give nothing while the engine stands."""
    kinds = ("alternator", "dynamo", "magneto")
    return frozenset(s.id for s in vehicle.supply.sources if s.kind in kinds)


def _own_loads(vehicle: Vehicle, solved: Solved) -> dict[str, tuple[Load, ...]]:
    """Fuse -> loads whose current passes it last, in any state."""
    found: dict[str, dict[str, Load]] = {fuse.id: {} for fuse in vehicle.all_of("fuse")}
    for path in load_paths(vehicle, solved.meter):
        nearest = next((b.ref for b in path.feed if b.kind == "fuse"), None)
        if nearest in found:
            found[nearest][path.load.id] = path.load
    return {fuse: tuple(loads.values()) for fuse, loads in found.items()}

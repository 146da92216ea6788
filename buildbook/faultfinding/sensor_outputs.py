"""What a meter shows of a sensor that gives volts and is cut off from what its wire hangs on.

The sweep has each sensor as a resistance, which draws its wire down from the controller's pull-up.
A sensor that gives volts goes on giving them where its wire is broken, or where nothing pulls: all
that is still joined to its pin stands at its output, somewhere between the ends of what is shown
of it. In the sweep these places have the volts of its pin, for no current flows in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np

from buildbook.electrical.network import inside
from buildbook.electrical.readings import FED_SHARE
from buildbook.electrical.sensing import loads_of, shown
from buildbook.electrical.sensors import straight
from buildbook.faultfinding.model import Fault
from buildbook.vehicle.model import Signal, Vehicle

NO_CURRENT_A = 1e-6
"""Under this a sensor holds nothing."""
SAME_V = 1e-3
"""Places of one piece of circuit without a current differ by less."""


@dataclass(frozen=True)
class SensorOutput:
    """A sensor that gives volts, as places in the sweep's nodes."""

    pin: int
    back: int
    supply: int
    supply_v: float
    """What feeds it while all is well."""
    of_v: float | None
    """The supply that its volts are told for, where they follow it."""
    gives_v: tuple[float, float]
    ohms: float
    """What stands for it in the sweep."""
    parts: frozenset[str]
    """Loads of its own: with one of them open it gives nothing."""
    wires: frozenset[str]
    """Of its circuit: on the body, one of them holds it there."""
    nodes: np.ndarray


def sensor_outputs(
    vehicle: Vehicle,
    index: Mapping[str, int],
    supply_volts: Mapping[str, float],
    places: Mapping[str, tuple[frozenset[str], frozenset[int]]],
) -> Iterator[SensorOutput]:
    """Every sensor that has a supply and gives volts.

    `supply_volts` and `places` are by the signal's pin: what feeds it, and the wires and nodes of
    its circuits.
    """
    for device in vehicle.devices.values():
        for signal in device.signals:
            output = signal.written.volts
            ends = inside(signal.pin), inside(signal.return_pin), inside(signal.supply_pin)
            own = loads_of(vehicle, signal)
            if output is None or not signal.supply_pin or not own or not index.keys() >= {*ends}:
                continue
            pin, back, supply = (index[end] for end in ends)
            feeds = [load for load in device.loads if load.from_pin == signal.supply_pin]
            wires, nodes = places[signal.pin]
            yield SensorOutput(
                pin,
                back,
                supply,
                supply_volts[signal.pin],
                output.of,
                _ends_v(signal),
                1 / fsum(1 / load.ohms for load in own),
                frozenset(f"load:{load.id}" for load in (*own, *feeds)),
                wires,
                np.array(sorted(nodes), dtype=np.intp),
            )


def _ends_v(signal: Signal) -> tuple[float, float]:
    output = signal.written.volts
    assert output is not None
    given = [straight(output.points, value) for value in shown(signal)]
    return min(given), max(given)


def show_outputs(
    low: np.ndarray,
    high: np.ndarray,
    volts: np.ndarray,
    faults: Sequence[Fault],
    outputs: Sequence[SensorOutput],
    place: np.ndarray | None = None,
) -> None:
    """Put what each gives where nothing draws on it, into the lowest and the highest volts.

    All are faults x nodes; of `low` and `high` the columns are the `place` of each node, where
    they hold some nodes alone.
    """
    for sensor in outputs:
        stopped = np.array([_stops(fault, sensor) for fault in faults])
        back = volts[:, sensor.back]
        amps = (volts[:, sensor.pin] - back) / sensor.ohms
        fed_v = volts[:, sensor.supply] - back
        fed = (fed_v > 0) & (fed_v >= FED_SHARE * sensor.supply_v)
        rows = np.flatnonzero(fed & ~stopped & (np.abs(amps) < NO_CURRENT_A))
        here = volts[np.ix_(rows, sensor.nodes)]
        joined = np.abs(here - volts[rows, sensor.pin][:, None]) < SAME_V
        share = fed_v[rows] / sensor.of_v if sensor.of_v else np.ones(len(rows))
        for end, gives in zip((low, high), sensor.gives_v, strict=True):
            own = (back[rows] + gives * share)[:, None]
            at = np.ix_(rows, sensor.nodes if place is None else place[sensor.nodes])
            end[at] = np.where(joined, own, end[at])


def _stops(fault: Fault, sensor: SensorOutput) -> bool:
    """Whether it gives nothing, or what it gives is drawn down."""
    broken = fault.mode == "open" and fault.branch in sensor.parts
    return broken or fault.mode == "short" and fault.branch in sensor.wires

"""What every rule may look at, and the few questions that several rules ask."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import networkx as nx

from buildbook.checks.model import Finding
from buildbook.description import models as written
from buildbook.electrical.model import Sensors, Solution, Solved, SupplyReport
from buildbook.electrical.network import inside, pin_id
from buildbook.harness.dressing import Booted, Dressed
from buildbook.harness.model import End, Harness
from buildbook.problem import Where
from buildbook.sizing.dressed import boots_of
from buildbook.sizing.fuse import fuse_of_bond
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Circuit, Connector, Device, Load, Vehicle

PRACTICE = "common practice, no source"
"""Named as the source where a limit is custom and no document stands behind it."""

BONDS = frozenset({"switch", "relay", "driver", "fuse", "bus", "ground"})
"""Kinds of contacts and bonds that current can pass."""


@dataclass(frozen=True)
class Context:
    """Everything worked out before the checks."""

    vehicle: Vehicle
    harness: Harness
    solved: Solved
    sizing: Sizing
    unpriced: tuple[str, ...] = ()
    """Needs without a price, those of `unserved` included."""
    unserved: tuple[tuple[str, str], ...] = ()
    """Needs that no part can meet, each with the reason."""
    sensors: Sensors = Sensors()
    supply: SupplyReport = SupplyReport()
    pieces: Mapping[str, Dressed] = field(default_factory=dict)
    """Run id -> the finished piece of harness along it."""

    @cached_property
    def boots(self) -> tuple[Booted, ...]:
        """The boot of every connector that takes one."""
        return boots_of(self.vehicle, self.harness, self.sizing)

    @cached_property
    def shorted(self) -> frozenset[str]:
        """Fuses on a way from the battery's plus to its minus that passes no load, in any state.

        What they carry is no load to size a fuse or a wire for.
        """
        states = self.solved.heating.values()
        return frozenset(f for s in states if s.branches for f in _shorted(self.vehicle, s))


Rule = Callable[[Context], Iterable[Finding]]


def battery_pins(vehicle: Vehicle) -> tuple[str, str]:
    """Pin ids of the battery's positive and negative post."""
    plus, minus = vehicle.description.supply.battery.between
    return pin_id(vehicle, plus), pin_id(vehicle, minus)


def _shorted(vehicle: Vehicle, solution: Solution) -> Iterator[str]:
    """Fuses on a way past all loads between the battery's posts, in one state."""
    plus, minus = (inside(pin) for pin in battery_pins(vehicle))
    edges = unloaded(solution)
    if minus not in reach(edges, plus):
        return
    blocks = nx.biconnected_components(nx.Graph([*edges, (plus, minus)]))
    loop = next(nodes for nodes in blocks if plus in nodes and minus in nodes)
    fuse_of = fuse_of_bond(vehicle)
    for branch in solution.branches.values():
        if branch.kind == "fuse" and {branch.a, branch.b} <= loop:
            yield fuse_of[branch.ref]


def unloaded(solution: Solution) -> list[tuple[str, str]]:
    """Ends of all that conducts in a state without being a load or a source."""
    return [(b.a, b.b) for b in solution.branches.values() if b.kind not in ("load", "source")]


def loads(vehicle: Vehicle) -> Iterator[tuple[Device, Load]]:
    """Every load with its device, leaving out devices that are not fitted yet."""
    for device in vehicle.devices.values():
        if device.written.fitted == "yes":
            yield from ((device, load) for load in device.loads)


def name_of(device: Device) -> str:
    """A device as a builder knows it: its title; a fuse, titled by what it feeds, by its id."""
    if device.kind != "fuse":
        return device.title
    return f"fuse {device.id}" + ("" if device.title == device.id else f" ({device.title})")


def called(title: str, about: str) -> str:
    """A title with the id that stands on the label; once, where they say the same."""
    same = re.sub(r"[\s_-]", "", title.lower()) == re.sub(r"[\s_-]", "", about.lower())
    return title if same else f"{title} ({about})"


def named(vehicle: Vehicle, device: str) -> str:
    """A device by its id as a builder knows it."""
    return called(vehicle.devices[device].title, device) if device in vehicle.devices else device


def plug_of(connector: Connector) -> str:
    """A connector as a builder looks for it: 'the plug of Left fan (fan-left)', or a half."""
    half = connector.harness != ""
    return ("the " if half else "the plug of ") + called(connector.title, connector.id)


def first_up(text: str) -> str:
    """The words as a sentence begins."""
    return text[:1].upper() + text[1:]


def cranking_states(vehicle: Vehicle) -> tuple[str, ...]:
    """States in which a starter draws."""
    turning = {s for d in vehicle.all_of("starter") for load in d.loads for s in load.states}
    return tuple(s for s in vehicle.states if s in turning)


def zones_at(
    vehicle: Vehicle, point: str, harness: str = ""
) -> tuple[tuple[str, written.Zone], ...]:
    """Zones of the runs that end at a point."""
    names = dict.fromkeys(run.zone for run in vehicle.runs_at(point, harness))
    return tuple((name, vehicle.description.zones[name]) for name in names)


def circuits_at(vehicle: Vehicle, pin: str) -> tuple[str, ...]:
    """Circuit ids that join a pin."""
    return vehicle.circuit_of_pin.get(pin, ())


def pins_with(vehicle: Vehicle, pin: str) -> list[str]:
    """Ids of all pins on the circuits that join a pin, itself included."""
    return [p.id for c in circuits_at(vehicle, pin) for p in vehicle.circuits[c].pins]


def is_fuel_pump(device: Device) -> bool:
    """Whether a motor is called a fuel pump."""
    called = set(words(device.id, device.title))
    return device.kind == "motor" and {"fuel", "pump"} <= called


def where_of(vehicle: Vehicle, about: str) -> Where:
    """Where a device or circuit was written; the file's start where that is not known."""
    if about in vehicle.devices:
        return vehicle.devices[about].where
    if about in vehicle.circuits:
        return vehicle.circuits[about].where
    return Where("vehicle.yaml")


def is_wired(harness: Harness, run: str) -> bool:
    """Whether wires lie along a run."""
    return run in harness.bundles and bool(harness.bundles[run].wires)


def connector_home(harness: Harness, connector_id: str) -> str:
    """Harness of a connector: its own where it is a half, else that of a wire in it."""
    connector = harness.connectors[connector_id]
    ends = (
        wire.harness
        for wire in harness.wires.values()
        if connector_id in (wire.a.connector, wire.b.connector)
    )
    return connector.harness or next(ends, "")


def end_name(end: End) -> str:
    """A wire end as a builder looks for it: 'ecu.A5', 'splice S204', 'cap at R2'."""
    if end.kind == "splice":
        return f"splice {end.node}"
    return f"cap at {end.point}" if end.kind == "capped" else end.node


def joined(
    context: Context, without: Collection[str] = (), kinds: Collection[str] = BONDS
) -> Iterator[tuple[str, str]]:
    """Pairs of nodes that current could pass between, with every contact closed, loads aside.

    `without` are devices taken out; `kinds` the bonds and contacts to count.
    """
    for wire in context.harness.wires.values():
        yield wire.a.node, wire.b.node
    for pin in context.vehicle.pins:
        yield pin, inside(pin)
    for passing in context.harness.pass_pins:
        halves = [f"{passing.device}.{passing.cavity}/{home}" for home in passing.wires]
        if passing.device not in without:
            yield from zip(halves, halves[1:], strict=False)
    for device in context.vehicle.devices.values():
        if device.id in without:
            continue
        for part in (*device.contacts, *device.bonds):
            if part.kind in kinds:
                yield inside(part.from_pin), inside(part.to_pin)


def is_ground(vehicle: Vehicle, circuit: Circuit) -> bool:
    """Whether a circuit ends on a ground stud."""
    return any(vehicle.devices[pin.device].kind == "ground" for pin in circuit.pins)


def words(*texts: str) -> tuple[str, ...]:
    """The words of names and uses, in small letters."""
    return tuple(re.findall(r"[a-z0-9+]+", " ".join(texts).lower()))


def is_worked(circuit: Circuit) -> bool:
    """Whether a circuit is meant to work now: neither spare, for later nor a screen."""
    return circuit.written.status == "in use" and not circuit.is_screen


def reach(edges: Iterable[tuple[str, str]], start: str) -> frozenset[str]:
    """Nodes joined to `start` by edges, itself included."""
    beside: dict[str, list[str]] = {}
    for a, b in edges:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    seen, waiting = {start}, deque([start])
    while waiting:
        for node in beside.get(waiting.popleft(), ()):
            if node not in seen:
                seen.add(node)
                waiting.append(node)
    return frozenset(seen)

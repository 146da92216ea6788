"""The vehicle joined up: devices, pins, circuits, rope; references are objects or checked ids."""

from __future__ import annotations

from dataclasses import dataclass, field

from buildbook.as_built.model import AsBuilt
from buildbook.catalogue.model import ContactFamily, WireFamily
from buildbook.description import models as written
from buildbook.description.read import Positions
from buildbook.figures import Units
from buildbook.problem import Where
from buildbook.vehicle.power_model import Supply

WORKING_SHARE = 0.5
"""Share of the voltage a load was stated at that makes it work, where no 'works from' is given.
Our choice."""


@dataclass(frozen=True)
class Pin:
    """One terminal of a device; `id` is 'device.pin'. `plug` is '' or the plug's letter."""

    id: str
    device: str
    name: str
    use: str
    contact: ContactFamily
    stud: bool
    """A stud or post takes several terminals; other pins take one wire."""
    plug: str = ""
    cavity: str = ""
    unused: bool = False


@dataclass(frozen=True)
class Connector:
    """A plug fitted to a device (or one half of a pass-through, `harness` set)."""

    id: str
    """'ecu', 'ecu-A' where the device has several plugs, 'X1/engine' for a half."""
    device: str
    title: str
    plug_type: str
    plug: written.Plug
    point: str
    pins: tuple[Pin, ...]
    harness: str = ""
    where: Where = Where("")
    gender: str = ""
    """'socket' or 'pin' for a half, '' for a device's plug, which is what fits the device."""

    @property
    def turned(self) -> bool:
        """Whether left and right stand the other way round than its type is written.

        A type is written as its half with sockets is seen from the wire side; the half with
        pins faces it, so that its wire side is the mirror image.
        """
        return self.gender == "pin"


@dataclass(frozen=True)
class Behaviour:
    """How a load's current follows its volts, where it is no resistor; None is not stated.

    It takes `rated_a` at `rated_v`.
    """

    like: str
    """filament, motor, transmitter"""
    rated_v: float
    rated_a: float
    cold_ohm: float | None = None
    stall_a: float | None = None
    turns: str = ""
    """fan, pump"""


@dataclass(frozen=True)
class Load:
    """A resistance between two pins. `ohms` while on; averages over its duty."""

    id: str
    device: str
    from_pin: str
    to_pin: str
    ohms: float
    duty: float
    states: frozenset[str]
    works_from_v: float
    inrush_a: float = 0.0
    inrush_s: float = 0.0
    what: str = ""
    critical: bool = False
    rated_a: float = 0.0
    """Current while on at the voltage it was stated at."""
    frequency_hz: float | None = None
    """At which it is switched to make its duty; None where it is not said."""
    behaviour: Behaviour | None = None
    """None for a resistor."""
    control: tuple[str, str] | None = None
    """Of electronics the feed and the ground that they draw between; None for what is passive."""
    control_v: float = 0.0
    """Volts between these from which they draw."""
    pulsed_by: str = ""
    """Contact id of the driver that makes its duty; '' where it pulses by itself."""
    pulsed_back_by: str = ""
    """Of the other half of that driver's bridge, where it pulses too."""

    @property
    def working_v(self) -> float:
        """Volts from which it counts as working; 0 where nothing was stated."""
        return self.works_from_v or WORKING_SHARE * self.rated_a * self.ohms

    @property
    def pulses_itself(self) -> bool:
        """Whether it makes its duty without a driver."""
        return self.duty < 1 and not self.pulsed_by


@dataclass(frozen=True)
class Contact:
    """A switch, relay or driver contact between two pins.

    Closed in `states`; where `control` is set, closed only if also the voltage from the
    first to the second control pin is at least `control_v` (for a relay's break contact,
    `inverted`: only if it is below).
    """

    id: str
    device: str
    from_pin: str
    to_pin: str
    states: frozenset[str]
    control: tuple[str, str] | None = None
    control_v: float = 0.0
    inverted: bool = False
    ohms: float = 0.005
    limit_a: float | None = None
    kind: str = "switch"
    """switch, relay, driver, cut-out; pull-down: what pulls a push-pull output to ground"""
    position: str = ""
    holds_v: float | None = None
    """Control volts down to which it stays closed; None where it opens as it closed."""
    one_way: bool = False
    """Lets current pass from the first pin to the second only: a dynamo's cut-out."""
    duty: float = 1.0
    """Share of the time for which a driver that is on conducts, in pulses."""
    frequency_hz: float | None = None
    """Of these pulses; None where it is not said."""
    leaks_ohm: float = 0.0
    """Of a driver that is off; 0 where none is stated."""
    trips: tuple[tuple[float, float], ...] = ()
    """Of a driver that switches itself off: amps from which it surely does and the longest time
    that it then takes, s, rising amps; empty where it does not trip."""


@dataclass(frozen=True)
class Source:
    """A voltage given out between two pins behind a resistance, while `control` holds."""

    id: str
    device: str
    plus_pin: str
    minus_pin: str
    volts: float
    ohms: float
    limit_a: float
    control: tuple[str, str] | None = None
    control_v: float = 0.0


@dataclass(frozen=True)
class Bond:
    """A fixed low resistance inside a device: fuse element, bus bar, ground joint.

    A ground joint's `to_pin` is 'chassis', the body as one node.
    """

    id: str
    device: str
    from_pin: str
    to_pin: str
    ohms: float
    kind: str
    """fuse, bus, ground"""


@dataclass(frozen=True)
class Signal:
    """What a sensor gives on one pin, against another; `supply_pin` is '' for none."""

    device: str
    pin: str
    return_pin: str
    supply_pin: str
    written: written.Signal


@dataclass(frozen=True)
class Device:
    id: str
    title: str
    kind: str
    point: str
    system: str
    pins: tuple[Pin, ...]
    connectors: tuple[Connector, ...]
    loads: tuple[Load, ...]
    contacts: tuple[Contact, ...]
    sources: tuple[Source, ...]
    bonds: tuple[Bond, ...]
    written: written.Device
    where: Where
    panel: str = ""
    signals: tuple[Signal, ...] = ()
    what_it_is: str = ""
    """Beside its id in a table: its name where it has one, else what its kind is."""


@dataclass(frozen=True)
class Circuit:
    id: str
    number: int
    """Three digits, by system: the first system's from 101, the second's from 201."""
    pins: tuple[Pin, ...]
    system: str
    written: written.Circuit
    where: Where
    cable: str = ""
    is_screen: bool = False
    feed: str = ""
    """The feed that made it and its name; '' for none."""


@dataclass(frozen=True)
class Run:
    """A piece of rope between two points of one harness."""

    id: str
    harness: str
    from_point: str
    to_point: str
    length_m: float
    zone: str
    estimated: bool
    clamps: int
    where: Where
    concentric: bool = False
    """Laid in twisted layers rather than side by side."""
    bend_m: float | None = None
    """Radius of the tightest bend that the author recorded, on the inside."""
    grommet_m: float | None = None
    """Inside diameter of the tightest grommet or hole on its way."""
    from_heat_m: float | None = None
    """Least distance to something hot, with no shield between."""
    marked: tuple[tuple[str, float], ...] = ()
    """What was marked on the rope, and how many m from its first point."""


@dataclass(frozen=True)
class PassThrough:
    """A connector pair joining two harnesses at a point."""

    device: str
    point: str
    harnesses: tuple[str, str]
    plug_type: str
    plug: written.Plug
    fixed: dict[str, str]
    """Cavity -> circuit id, where the author fixed it."""
    on_vehicle: bool
    where: Where
    sockets: str = ""
    """Harness whose half has the sockets; the other's has the pins."""
    hole_m: float | None = None
    """Hole in the panel, as it was cut."""
    built: dict[str, str] = field(default_factory=dict)
    """Cavity -> circuit id, where it was built so and the author says nothing else."""


@dataclass(frozen=True)
class Loss:
    """What follows once any of `of` is dead: load ids that are then dead or left on."""

    name: str
    """The device that is lost."""
    of: tuple[str, ...]
    what: str
    dead: tuple[str, ...]
    stuck_on: tuple[str, ...]
    states: frozenset[str]
    awake: tuple[str, ...] = ()
    """Loads of the controllers that read it: without them nothing is left on."""


@dataclass(frozen=True)
class Sign:
    """What is seen at once: a tuple of load ids for each thing that the author named."""

    dead: tuple[tuple[str, ...], ...]
    weak: tuple[tuple[str, ...], ...]
    stuck_on: tuple[tuple[str, ...], ...]
    reads_wrong: tuple[tuple[str, ...], ...]
    works: tuple[tuple[str, ...], ...]
    blows: frozenset[str]
    states: frozenset[str]
    only_in: bool
    """True where the author named the states."""

    @property
    def everything(self) -> bool:
        """True where all loads together are said to be dead."""
        return any(len({load.partition(".")[0] for load in named}) > 1 for named in self.dead)


@dataclass(frozen=True)
class Complaint:
    """What a driver says, in the author's words; one of `signs` is seen."""

    name: str
    signs: tuple[Sign, ...]
    written: written.Complaint


@dataclass(frozen=True)
class Vehicle:
    description: written.Description
    devices: dict[str, Device]
    pins: dict[str, Pin]
    connectors: dict[str, Connector]
    """Of devices only: pass-through halves are made by the harness."""
    circuits: dict[str, Circuit]
    circuit_of_pin: dict[str, tuple[str, ...]]
    runs: tuple[Run, ...]
    pass_throughs: tuple[PassThrough, ...]
    wire_families: dict[str, WireFamily]
    states: tuple[str, ...]
    supply: Supply
    notes: dict[str, str] = field(default_factory=dict)
    """'system fuel' -> Markdown text."""
    pictures: dict[str, str] = field(default_factory=dict)
    """As a note names it -> its `data:` address."""
    as_built: AsBuilt | None = None
    """What the harnesses were built with, once they are."""
    complaints: tuple[Complaint, ...] = ()
    losses: tuple[Loss, ...] = ()
    positions: Positions | None = field(default=None, compare=False, repr=False)
    """Where each entry was written; None of a vehicle that was not read from files."""

    @property
    def measures(self) -> Units:
        """How its book says lengths and thicknesses."""
        return self.description.vehicle.measures

    @property
    def language(self) -> str:
        """The code of the language of its book."""
        return self.description.vehicle.language

    def runs_at(self, point: str, harness: str = "") -> tuple[Run, ...]:
        """Runs that end at a point, of one harness where it is named."""
        return tuple(
            run
            for run in self.runs
            if point in (run.from_point, run.to_point) and harness in ("", run.harness)
        )

    def all_of(self, kind: str) -> tuple[Device, ...]:
        """Devices of one kind, in the order of the description."""
        return tuple(d for d in self.devices.values() if d.kind == kind)

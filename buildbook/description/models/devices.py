"""Devices: their pins, what they draw, switch, drive, feed and read."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, WithJsonSchema

from buildbook.description.amounts import (
    CurrentA,
    FrequencyHz,
    Multiple,
    NoResistanceOhm,
    NoVoltageV,
    PowerW,
    ResistanceOhm,
    SignalV,
    SlackM,
    SmallM,
    SomeShare,
    Tolerance,
    VoltageV,
)
from buildbook.description.models.base import (
    Alike,
    Caution,
    In,
    Name,
    Names,
    Section,
    Text,
    Title,
    When,
    as_list,
    as_text,
)
from buildbook.description.models.sensors import ExpectedReading, Pair, Signal


class Pin(Section):
    use: Title = ""
    """What it is for."""
    contact: Name | None = None
    """Contact family where the pin is not in a plug: ring-M6, blade-6.3, …"""


def _pin(value: Any) -> Any:
    return {"use": value} if isinstance(value, str) else value


class Draw(Section):
    """A load between two pins: amps or watts at a voltage, or plain ohms."""

    from_: Name | None = None
    """Pin where the current goes in; left out where the device has two pins."""
    to: Name | None = None
    """Pin where it comes out."""
    amps: CurrentA | None = None
    """While on, at `at`."""
    watts: PowerW | None = None
    """Of a bulb: 21 W."""
    at: VoltageV | None = None
    """Volts at which the amps or watts were stated; default nominal."""
    ohms: ResistanceOhm | None = None
    """While on."""
    like: Literal["filament", "motor", "transmitter", "resistor"] | None = None
    """How its current follows its volts; default a filament in a lamp, a motor in a motor or
    starter that is not pulsed, else a resistor. Lamps of LEDs come nearest to a resistor. A
    transmitter of 4 to 20 mA keeps its amps while it has the volts that it works from."""
    cold: ResistanceOhm | None = None
    """Of a filament at room temperature; default a fourteenth of its ohms while it is lit."""
    stall: CurrentA | None = None
    """Of a motor held still, at the same volts; default its inrush, else five running currents."""
    turns: Literal["fan", "pump"] | None = None
    """What a motor turns: at low volts a fan takes much less, a pump at a set pressure little."""
    duty: SomeShare = 1.0
    """Share of time on; amps and ohms are those while on. Slow pulses, whose `frequency` is given,
    heat a wire by its own time constant and a fuse as if they lasted."""
    frequency: FrequencyHz | None = None
    """At which it is switched on and off to make its duty."""
    inrush: Title | None = None
    """'24 A for 150 ms'."""
    in_: In = When()
    """States in which you want it on."""
    works_from: NoVoltageV | None = None
    """Volts from which it does its work; default three quarters of nominal, or of the volts given
    out by the controller that feeds it."""
    what: Title = ""
    """What is seen when it works: 'left dipped beam lights'."""


class Contact(Section):
    """A switch contact between two pins, closed in the states named."""

    from_: Name
    """One of its pins."""
    to: Name
    """The other."""
    closed: In = When(states=[])
    """States in which it is closed."""
    limit: CurrentA | None = None
    """Most that it may switch."""
    position: Title = ""
    """What is done to close it: 'handle in'."""


class Coil(Section):
    ohms: ResistanceOhm = 90.0
    """At 20 degC."""
    # Makers' usual figure for the first, at most (read). Most let go at about half of what pulled
    # them in: our choice.
    pulls_in: Multiple = 0.6
    """Share of nominal volts from which it closes."""
    drops_out: Multiple = 0.3
    """Share of nominal volts below which it opens again. Sheets state a tenth, at which every relay
    has opened."""
    suppressed: Literal["diode", "resistor", "none"] = "none"
    """What takes the spark that it makes when it is switched off."""


class Driver(Section):
    """A controller output: a contact to its ground (low side), its feed (high side), or either."""

    side: Literal["low", "high", "push-pull"] = "low"
    """`low` switches to ground, `high` to the feed; `push-pull` to the feed while it is on and to
    ground while it is not."""
    through: Name | None = None
    """The ground pin (low) or feed pin (high, push-pull) that carries it; default the first."""
    ground: Name | None = None
    """Of a push-pull output: the ground pin that it pulls down to; default the first."""
    released: In = When(states=[])
    """Of a push-pull output: states in which it lets go of both (tri-state)."""
    bridge: Name | None = None
    """Of a push-pull output: the output that is the other half of its bridge. A motor between them
    turns one way while this one is on, and the other way while that one is."""
    limit: CurrentA
    """Most that it may switch."""
    ohms: ResistanceOhm | None = None
    """Of the output while it is on; default 50 mohm."""
    trips: Annotated[list[Title], BeforeValidator(as_list)] = []
    """Where it switches itself off when too much flows: '20 A within 500 ms', the current from
    which it surely does, and the longest time it takes; a short's as well: '60 A within 1 ms'. It
    then protects its wire as a fuse does."""
    on: In = When()
    """States in which it conducts."""
    suppressed: bool = False
    """It takes the spark of a coil by itself."""
    frequency: FrequencyHz | None = None
    """Highest at which it can switch its load."""
    duty: SomeShare | None = None
    """Share of time for which it conducts while it is on, in pulses; default what its load says."""
    leaks: CurrentA | None = None
    """Through the output at nominal voltage while it is off."""


class Input(Section):
    pull_up: ResistanceOhm | None = None
    """Resistor from the pin to a voltage inside."""
    to: SignalV = 5.0
    """That voltage."""
    ground: Name | None = None
    """Pin that it is measured against; default the first ground."""
    tolerance: Tolerance = 0.01
    """Of the pull-up's ohms."""
    volts_tolerance: Tolerance = 0.01
    """Of the voltage that it pulls up to."""
    low: NoVoltageV | None = None
    """Below this a digital input reads low, …"""
    high: NoVoltageV | None = None
    """… and above this it reads high."""


class Source(Section):
    """A regulated voltage given out on a pin while the controller is alive."""

    volts: SignalV
    """That it gives."""
    limit: CurrentA = 0.1
    """Most that it gives."""
    through: NoResistanceOhm = 0.5
    """Resistance of its output."""
    ground: Name | None = None
    """Pin that it is given against; default the first ground."""
    tolerance: Tolerance = 0.01
    """Of its volts."""


class Power(Section):
    feeds: Annotated[list[Name], BeforeValidator(as_list)]
    """Pins that feed it; the first decides whether it is awake."""
    grounds: Annotated[list[Name], BeforeValidator(as_list)]
    """Its grounds, joined inside; the first carries what says no other."""
    works_from: NoVoltageV = 6.0
    """Volts from which it is awake."""


Kind = Literal[
    "battery",
    "alternator",
    "dynamo",
    "magneto",
    "converter",
    "starter",
    "isolator",
    "panel",
    "fuse",
    "relay",
    "switch",
    "lamp",
    "motor",
    "solenoid",
    "injector",
    "ignition coil",
    "horn",
    "heater",
    "load",
    "sensor",
    "controller",
    "display",
    "ground",
    "pass-through",
]
BASE_KINDS: tuple[str, ...] = get_args(Kind)
"""The kinds that the program knows by itself; all others are made of them."""


class Loss(Section):
    """What happens when nothing comes from a device any more, or from a data bus."""

    what: Annotated[str, BeforeValidator(as_text), Field(min_length=1, max_length=200)]
    """In words: 'the engine does not start'."""
    dead: Names = []
    """Devices or loads that the controller then leaves off."""
    stuck_on: Names = []
    """Those that it then leaves on."""
    in_: In = When()
    """States in which it happens."""


class Follows(Section):
    """What follows from what a controller's pin is for."""

    driver: dict[Name, Any] = {}
    """It is an output, with these keys of `drivers`."""
    input: dict[Name, Any] = {}
    """It is an input, with these keys of `inputs`; `ground: its own` is the ground that the sensor
    at the pin is returned to."""
    source: dict[Name, Any] = {}
    """It gives out a voltage, with these keys of `sources`."""
    feed: Literal["main", "yes", "no"] | None = None
    """It feeds the controller; the main ones come first."""
    ground: Literal["main", "yes", "no"] | None = None
    """It is a ground of the controller; the main ones come first."""


class Device(Alike):
    kind: Annotated[Kind, WithJsonSchema({"type": "string", "examples": [*BASE_KINDS]})]
    """What it is: one of the kinds that the program knows by itself, one of those with data
    (`buildbook explain kinds` lists them all), or one of your own from the section `kinds`. A
    kind brings pins, draws and more; what stands at the device goes before it."""
    uses: dict[Name, Follows] = {}
    """What a pin is for, `*` for anything -> what follows from it, laid over that of its kind:
    `injector *: {driver: {limit: 5 A}}`."""
    name: Title | None = None
    """What it is called in the book; its own name in the file where it says nothing."""
    at: Name | None = None
    """Point of the rope where it is; left out, the point of its own name."""
    on: Name | None = None
    """The panel that carries it (fuses and relays): same place as the panel."""
    system: Name | None = None
    """Chapter that it belongs to; left out, that of its circuits."""
    part: Name | None = None
    """What is bought for it, of `parts`."""
    plug: Name | None = None
    """Connector on its harness, of `plugs`; its pins are the cavities."""
    plugs: dict[Name, Name] = {}
    """For several plugs: letter -> plug type; pin A12 is cavity 12 of plug A."""
    contact: Name | None = None
    """Contact family of pins that are in no plug; `buildbook explain contacts` lists them."""
    pins: dict[Name, Annotated[Pin, BeforeValidator(_pin)]] = {}
    """Pin -> what it is for. `A3 to A7: injector <n>` names five."""
    unused: list[Name] = []
    """Cavities that stay empty and are blanked; or what such pins are for."""
    draws: Annotated[list[Draw], BeforeValidator(as_list)] = []
    """Its loads. In a kind they may have names, by which a device changes one of them."""
    contacts: Annotated[list[Contact], BeforeValidator(as_list)] = []
    """What it opens and closes."""
    coil: Coil | None = None
    """Of a relay."""
    power: Power | None = None
    """Where a controller is fed and grounded: without volts there it does nothing."""
    drivers: dict[Name, Driver] = {}
    """Pin -> what a controller switches there."""
    inputs: dict[Name, Input] = {}
    """Pin -> what a controller reads there."""
    sources: dict[Name, Source] = {}
    """Pin -> volts that a controller gives out there."""
    readings: list[ExpectedReading] = []
    """What a meter shows at it by its own sheet, where `gives` cannot say it."""
    gives: dict[Name, Signal] = {}
    """Signal pin -> what the sensor gives there."""
    pairs: Annotated[list[Pair], BeforeValidator(as_list)] = []
    """Tracks that are held against each other."""
    senses: (
        Literal[
            "ntc",
            "platinum",
            "thermocouple",
            "pressure",
            "hall",
            "inductive",
            "knock",
            "position",
            "switch",
            "speed",
        ]
        | None
    ) = None
    """What it measures, for symbols and for the steps of the trees."""
    fitted: Literal["yes", "later"] = "yes"
    """`later` leaves its branch long and coiled."""
    critical: bool = False
    """The engine stops or somebody is hurt without it: its drop is smaller, and its fuse comes
    first."""
    service_loop: SlackM | None = None
    """Loop at its terminals, where it differs from the vehicle's: a dash that is pulled out."""
    joint: ResistanceOhm | None = None
    """Ground point to chassis."""
    rating: CurrentA | None = None
    """Fuse rating pinned by the author; relay contact rating."""
    fuse: Literal["blade", "mini", "maxi", "cartridge", "bolted-30", "bolted"] = "blade"
    """Family of a fuse: ISO 8820-3 blades of types C, F and E, ISO 8820-4 cartridge, ISO 8820-5
    bolted strips SF 30 and SF 51."""
    bus: Name | None = None
    """Stud of the panel whose bus bar feeds this fuse."""
    slot: int | None = Field(default=None, ge=0, le=10_000)
    """Of the panel that carries it."""
    between: tuple[Name, Name] | None = None
    """The two harnesses that a pass-through joins."""
    carries: dict[Name, Name] = {}
    """Pass-through cavity -> circuit, where the author fixes it."""
    sockets: Name | None = None
    """Harness whose half of a pass-through has the sockets; default the one nearer the battery, so
    that no bare pin is live when it is unplugged."""
    hole: SmallM | None = None
    """Hole of a pass-through in its panel, as it was cut."""
    when_lost: Annotated[list[Loss], BeforeValidator(as_list)] = []
    """What a controller does once any load of this device is dead: a sensor open or unfed."""
    on_vehicle: bool = False
    """It is there already and not bought: half of a pass-through, a fuse or relay that the
    module it is on brings along, a device."""
    caution: Caution | None = None
    """What is dangerous near it: the book says so where the work is."""
    on_purpose: dict[Name, Text] = {}
    """Rule -> why what it finds here, or at a pin of it, is meant so: it is waived, and told once
    it is not found any more. {sensor-ground-shared: the sheet asks for the engine's ground}."""

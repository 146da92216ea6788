"""Devices: their pins, what they draw, switch, drive, feed and read."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

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
    Caution,
    In,
    Name,
    Names,
    Section,
    Title,
    When,
    as_list,
    as_text,
)
from buildbook.description.models.sensors import ExpectedReading, Pair, Signal


class Pin(Section):
    use: Title = ""
    contact: Name | None = None
    """Contact family where the pin is not in a plug: ring-M6, blade-6.3, …"""


def _pin(value: Any) -> Any:
    return {"use": value} if isinstance(value, str) else value


class Draw(Section):
    """A load between two pins: amps or watts at a voltage, or plain ohms."""

    from_: Name | None = None
    to: Name | None = None
    amps: CurrentA | None = None
    watts: PowerW | None = None
    """Of a bulb: 21 W."""
    at: VoltageV | None = None
    """Volts at which the amps or watts were stated; default nominal."""
    ohms: ResistanceOhm | None = None
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
    works_from: NoVoltageV | None = None
    what: Title = ""
    """What is seen when it works: 'left dipped beam lights'."""


class Contact(Section):
    """A switch contact between two pins, closed in the states named."""

    from_: Name
    to: Name
    closed: In = When(states=[])
    limit: CurrentA | None = None
    position: Title = ""


class Coil(Section):
    ohms: ResistanceOhm = 90.0
    # Makers' usual figure for the first, at most (read). Most let go at about half of what pulled
    # them in: our choice.
    pulls_in: Multiple = 0.6
    """Share of nominal volts from which it closes."""
    drops_out: Multiple = 0.3
    """Share of nominal volts below which it opens again. Sheets state a tenth, at which every relay
    has opened."""
    suppressed: Literal["diode", "resistor", "none"] = "none"


class Driver(Section):
    """A controller output: a contact to its ground (low side) or its feed (high side)."""

    side: Literal["low", "high"] = "low"
    through: Name | None = None
    """The ground pin (low) or feed pin (high) that carries it; default the first."""
    limit: CurrentA
    on: In = When()
    suppressed: bool = False
    frequency: FrequencyHz | None = None
    """Highest at which it can switch its load."""
    duty: SomeShare | None = None
    """Share of time for which it conducts while it is on, in pulses; default what its load says."""
    leaks: CurrentA | None = None
    """Through the output at nominal voltage while it is off."""


class Input(Section):
    pull_up: ResistanceOhm | None = None
    to: SignalV = 5.0
    ground: Name | None = None
    tolerance: Tolerance = 0.01
    """Of the pull-up's ohms."""
    volts_tolerance: Tolerance = 0.01
    low: NoVoltageV | None = None
    """Below this a digital input reads low, …"""
    high: NoVoltageV | None = None
    """… and above this it reads high."""


class Source(Section):
    """A regulated voltage given out on a pin while the controller is alive."""

    volts: SignalV
    limit: CurrentA = 0.1
    through: NoResistanceOhm = 0.5
    ground: Name | None = None
    tolerance: Tolerance = 0.01


class Power(Section):
    feeds: Annotated[list[Name], BeforeValidator(as_list)]
    grounds: Annotated[list[Name], BeforeValidator(as_list)]
    works_from: NoVoltageV = 6.0


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


class Loss(Section):
    """What happens when nothing comes from a device any more, or from a data bus."""

    what: Annotated[str, BeforeValidator(as_text), Field(min_length=1, max_length=200)]
    """In words: 'the engine does not start'."""
    dead: Names = []
    """Devices or loads that the controller then leaves off."""
    stuck_on: Names = []
    """Those that it then leaves on."""
    in_: In = When()


class Device(Section):
    kind: Kind
    name: Title | None = None
    at: Name | None = None
    on: Name | None = None
    """The panel that carries it (fuses and relays): same place as the panel."""
    system: Name | None = None
    part: Name | None = None
    plug: Name | None = None
    plugs: dict[Name, Name] = {}
    """For several plugs: letter -> plug type; pin A12 is cavity 12 of plug A."""
    contact: Name | None = None
    pins: dict[Name, Annotated[Pin, BeforeValidator(_pin)]] = {}
    unused: list[Name] = []
    draws: Annotated[list[Draw], BeforeValidator(as_list)] = []
    contacts: Annotated[list[Contact], BeforeValidator(as_list)] = []
    coil: Coil | None = None
    power: Power | None = None
    drivers: dict[Name, Driver] = {}
    inputs: dict[Name, Input] = {}
    sources: dict[Name, Source] = {}
    readings: list[ExpectedReading] = []
    gives: dict[Name, Signal] = {}
    """Signal pin -> what the sensor gives there."""
    pairs: Annotated[list[Pair], BeforeValidator(as_list)] = []
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
    fitted: Literal["yes", "later"] = "yes"
    critical: bool = False
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

"""The description language: one typed model for each section of the vehicle folder."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from buildbook.description.quantities import (
    CapacityAh,
    CurrentA,
    LengthM,
    ResistanceOhm,
    Share,
    Size,
    SpeedRpm,
    TemperatureC,
    VoltageV,
)


class Section(BaseModel):
    """Base of every model: no unknown keys, keys written with spaces."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        populate_by_name=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", " "),
    )


def _text(value: Any) -> Any:
    return str(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


Name = Annotated[str, BeforeValidator(_text), Field(min_length=1, max_length=60)]
Text = Annotated[str, BeforeValidator(_text), Field(max_length=4000)]


def _many(value: Any) -> Any:
    return value if isinstance(value, list) or value is None else [value]


class When(Section):
    """States in which something holds: `all`, a list, or all `except` a list."""

    states: list[Name] | None = None
    except_: Annotated[list[Name], BeforeValidator(_many)] = []


def _when(value: Any) -> Any:
    if value == "all":
        return {}
    if isinstance(value, str):
        return {"states": [value]}
    return {"states": value} if isinstance(value, list) else value


In = Annotated[When, BeforeValidator(_when)]


class WireChoice(Section):
    family: Name = "thin-wall"
    smallest: Size = Field(default="0.35 mm2", validate_default=True)


class Vehicle(Section):
    name: Name
    about: Text = ""
    revision: Name = "A"
    date: datetime.date
    paper: Literal["A4", "Letter"] = "A4"
    nominal: VoltageV = 12.0
    currency: Name = "EUR"
    tax: Share = 0.0
    altitude: LengthM = 0.0
    drop: Share = 0.03
    """Allowed drop of an ordinary load, feed and return, as a share of nominal."""
    critical_drop: Share = 0.02
    wire: WireChoice = WireChoice()


class Battery(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 12.7
    resistance: ResistanceOhm = 0.008
    capacity: CapacityAh = 40.0
    charge: CurrentA = 5.0
    """What the full battery takes at the alternator's regulated voltage."""


class Alternator(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 14.2
    resistance: ResistanceOhm = 0.01
    curve: list[tuple[SpeedRpm, CurrentA]]
    """Output current against engine speed, rising; no output below the first speed."""


class Supply(Section):
    battery: Battery
    alternator: Alternator | None = None


class State(Section):
    about: Text = ""
    engine: SpeedRpm = 0.0
    share: Share = 0.0
    """Share of a day's running time spent here, for the charging balance."""


class Zone(Section):
    about: Text = ""
    ambient: TemperatureC
    wet: bool = False
    moving: bool = False


class System(Section):
    title: Text
    about: Text = ""


class Supplier(Section):
    name: Text
    carriage: Annotated[str, BeforeValidator(_text)] = "0"


class Part(Section):
    """Something to buy; `serves` names the needs that it meets."""

    what: Text
    serves: Annotated[list[Name], BeforeValidator(_many)] = []
    supplier: Name | None = None
    price: Annotated[str, BeforeValidator(_text)] | None = None
    """Of one pack, before tax, as decimal text."""
    pack: float = Field(default=1, gt=0)
    """Pieces in a pack, or metres for wire and sleeving."""
    dated: datetime.date | None = None
    mass: Text | None = None


class Plug(Section):
    """A connector type: its cavities as seen from the wire side."""

    about: Text = ""
    contact: Name
    rows: list[list[Annotated[str, BeforeValidator(_text)] | None]] = []
    """Rows of cavities, top first, left to right, seen from the wire side; null is a gap."""
    rings: list[list[Annotated[str, BeforeValidator(_text)]]] = []
    """Rings of a circular shell, innermost first, clockwise from the keyway, wire side."""
    staggered: bool = False
    keyway: Literal["top", "bottom", "left", "right"] = "top"
    sealed: bool = False
    temperature: TemperatureC = 105.0
    hole: LengthM | None = None
    contacts: dict[Name, Name] = {}
    """Contact family of single cavities that differ from `contact`."""


class Pin(Section):
    use: Text = ""
    contact: Name | None = None
    """Contact family where the pin is not in a plug: ring-M6, blade-6.3, …"""


def _pin(value: Any) -> Any:
    return {"use": value} if isinstance(value, str) else value


class Draw(Section):
    """A load between two pins: amps at a voltage, or plain ohms."""

    from_: Name | None = None
    to: Name | None = None
    amps: CurrentA | None = None
    at: VoltageV | None = None
    ohms: ResistanceOhm | None = None
    duty: Share = 1.0
    """Share of time on, where it pulses; amps and ohms are those while on."""
    inrush: Text | None = None
    """'24 A for 150 ms'."""
    in_: In = When()
    works_from: VoltageV | None = None
    what: Text = ""
    """What is seen when it works: 'left dipped beam lights'."""


class Contact(Section):
    """A switch contact between two pins, closed in the states named."""

    from_: Name
    to: Name
    closed: In = When(states=[])
    limit: CurrentA | None = None
    position: Text = ""


class Coil(Section):
    ohms: ResistanceOhm = 90.0
    pulls_in: Share = 0.6
    suppressed: Literal["diode", "resistor", "none"] = "none"


class Driver(Section):
    """A controller output: a contact to its ground (low side) or its feed (high side)."""

    side: Literal["low", "high"] = "low"
    through: Name | None = None
    """The ground pin (low) or feed pin (high) that carries it; default the first."""
    limit: CurrentA
    on: In = When()
    suppressed: bool = False


class Input(Section):
    pull_up: ResistanceOhm | None = None
    to: VoltageV = 5.0
    ground: Name | None = None


class Source(Section):
    """A regulated voltage given out on a pin while the controller is alive."""

    volts: VoltageV
    limit: CurrentA = 0.1
    through: ResistanceOhm = 0.5
    ground: Name | None = None


class Power(Section):
    feeds: Annotated[list[Name], BeforeValidator(_many)]
    grounds: Annotated[list[Name], BeforeValidator(_many)]
    works_from: VoltageV = 6.0


class Reading(Section):
    """What a sensor shows on a pin: 'cold 20 degC: 2.50 V'."""

    pin: Name
    when: Text
    expect: Text


Kind = Literal[
    "battery", "alternator", "starter", "isolator", "panel", "fuse", "relay", "switch",
    "lamp", "motor", "solenoid", "injector", "ignition coil", "horn", "heater", "load",
    "sensor", "controller", "display", "ground", "pass-through",
]  # fmt: skip


class Device(Section):
    kind: Kind
    name: Text | None = None
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
    draws: Annotated[list[Draw], BeforeValidator(_many)] = []
    contacts: Annotated[list[Contact], BeforeValidator(_many)] = []
    coil: Coil | None = None
    power: Power | None = None
    drivers: dict[Name, Driver] = {}
    inputs: dict[Name, Input] = {}
    sources: dict[Name, Source] = {}
    readings: list[Reading] = []
    senses: Literal[
        "ntc", "platinum", "thermocouple", "pressure", "hall", "inductive", "knock",
        "position", "switch", "speed",
    ] | None = None  # fmt: skip
    fitted: Literal["yes", "later"] = "yes"
    critical: bool = False
    joint: ResistanceOhm | None = None
    """Ground point to chassis."""
    rating: CurrentA | None = None
    """Fuse rating pinned by the author; relay contact rating."""
    fuse: Literal["blade", "bolted"] = "blade"
    bus: Name | None = None
    """Stud of the panel whose bus bar feeds this fuse."""
    slot: int | None = None
    between: tuple[Name, Name] | None = None
    """The two harnesses that a pass-through joins."""
    carries: dict[Name, Name] = {}
    """Pass-through cavity -> circuit, where the author fixes it."""
    on_vehicle: bool = False
    """Pass-through half that exists already and is not bought."""
    caution: Literal["fuel", "hot", "cranking", "moving", "lifting", "battery"] | None = None


class Cable(Section):
    """Circuits kept together as one cable; `screen` names the circuit of its drain."""

    type: Literal["twisted pair", "shielded 1", "shielded 2", "shielded 3"]
    cores: list[Name]
    screen: Name | None = None


class Circuit(Section):
    """Pins that share a potential."""

    join: list[Name]
    system: Name | None = None
    about: Text = ""
    critical: bool = False
    signal: bool = False
    """Carries information, not power: no drop limit as a load's."""
    size: Size | None = None
    family: Name | None = None
    colour: Annotated[str, Field(pattern=r"^[A-Z]{2}(/[A-Z]{2})?$")] | None = None
    status: Literal["in use", "spare", "future"] = "in use"
    capped_at: Name | None = None
    """Point where a spare or screen ends, insulated, with nothing on it."""
    splice_at: Name | None = None
    harness: Name | None = None
    drop: VoltageV | None = None


class Run(Section):
    from_: Name
    to: Name
    length: LengthM
    zone: Name
    known: Literal["measured", "estimated"] = "measured"
    clamps: int = 0


class Harness(Section):
    title: Text = ""
    layup: Literal["parallel", "concentric"] = "parallel"
    cover: Literal["braided sleeve", "heat-shrink", "tape", "none"] = "braided sleeve"
    runs: list[Run]


class Note(Section):
    file: Text
    with_: Text
    """'vehicle', 'supply', 'system fuel', 'harness engine', 'troubleshooting', …"""


class Waiver(Section):
    rule: Name
    about: Name
    because: Text


class Description(Section):
    """The whole folder, merged."""

    vehicle: Vehicle
    supply: Supply
    states: dict[Name, State]
    zones: dict[Name, Zone]
    systems: dict[Name, System]
    suppliers: dict[Name, Supplier] = {}
    parts: dict[Name, Part] = {}
    plugs: dict[Name, Plug] = {}
    devices: dict[Name, Device]
    cables: dict[Name, Cable] = {}
    circuits: dict[Name, Circuit]
    rope: dict[Name, Harness]
    notes: list[Note] = []
    waivers: list[Waiver] = []

"""The description language: one typed model for each section of the vehicle folder."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from buildbook.description.quantities import (
    BetaK,
    CapacityAh,
    CurrentA,
    FrequencyHz,
    LengthM,
    MassKg,
    MeasuredValue,
    ResistanceOhm,
    Share,
    Size,
    SpeedRpm,
    TemperatureC,
    TimeH,
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


Money = Annotated[str, BeforeValidator(_text)]
"""An amount as decimal text, kept as written."""


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


class Lengths(Section):
    """What wires are cut longer than their rope."""

    service_loop: LengthM = 0.02
    """At every terminal, so that a plug comes out far enough to be worked on."""
    cut_backs: int = Field(default=1, ge=0, le=5)
    """How often a terminal can be cut off and crimped anew."""
    moving: Share = 0.05
    """Of each stretch of moving rope, at each end where it is held still; at least 50 mm."""
    estimated: Share = 0.15
    """Of rope whose length was estimated; at least 100 mm a run."""
    not_fitted: LengthM = 0.3
    """At a device that is not fitted yet."""


class Vehicle(Section):
    name: Name
    about: Text = ""
    revision: Name = "A"
    date: datetime.date
    paper: Literal["A4", "Letter"] = "A4"
    nominal: VoltageV = 12.0
    currency: Name = "EUR"
    rates: dict[Name, Money] = {}
    """What one unit of another currency costs in the vehicle's: {GBP: 1.17}."""
    tax: Share = 0.0
    buyer: Text = ""
    """Name and address that stand on the orders."""
    variant: Name | None = None
    """The one of `variants` that the book is built for; without it, as written."""
    altitude: LengthM = 0.0
    board: tuple[LengthM, LengthM] = (2.4, 1.2)
    """Width and height of the board that harnesses are built on."""
    drop: Share = 0.03
    """Allowed drop of an ordinary load, feed and return, as a share of nominal."""
    critical_drop: Share = 0.02
    wire: WireChoice = WireChoice()
    lengths: Lengths = Lengths()


class OwnSize(Section):
    """One size of a wire that the author adds, as its data sheet gives it."""

    size: Size
    resistance_of_1_km: ResistanceOhm
    """At 20 degC."""
    outside: LengthM
    """Diameter over the insulation."""
    mass_of_1_km: MassKg | None = None
    """Computed where it is not given."""
    strands: int = Field(default=0, ge=0)
    strand: LengthM = 0.0
    """Diameter of one strand."""


class OwnWire(Section):
    """A family of wire that the catalogue does not hold."""

    title: Text
    rated: TemperatureC
    """Conductor temperature that the insulation stands for ever."""
    overload: TemperatureC | None = None
    """That it stands for hours; the rated one where it is not given."""
    short_circuit: TemperatureC | None = None
    """That it stands for up to 5 s; that of an overload where it is not given."""
    source: Annotated[str, Field(min_length=1, max_length=400)]
    """Where the values come from: a data sheet, a standard, a measurement."""
    sizes: Annotated[list[OwnSize], Field(min_length=1)]


class Battery(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 12.7
    resistance: ResistanceOhm = 0.008
    capacity: CapacityAh = 40.0
    charge: CurrentA = 5.0
    """What the full battery takes at the alternator's regulated voltage."""
    rated_over: TimeH = 20.0
    """Hours over which `capacity` was measured."""
    peukert: float = Field(default=1.2, ge=1, le=2)
    """Exponent of the discharge law: 1.1 to 1.3 with liquid acid, about 1.05 for lithium."""
    usable: Share = 0.5
    """Share of the capacity that may go before the engine is no longer sure to start."""
    accepts: CurrentA | None = None
    """Most that the half-empty battery takes; default a quarter of its capacity an hour."""
    efficiency: Share = 0.85
    """Share of the charge put in that comes out again."""


class Alternator(Section):
    between: tuple[Name, Name]
    volts: VoltageV = 14.2
    resistance: ResistanceOhm = 0.01
    curve: list[tuple[SpeedRpm, CurrentA]]
    """Output current against engine speed, rising; no output below the first speed."""
    curve_at: TemperatureC = 25.0
    """Air temperature at which the curve holds."""
    per_kelvin: Share = 0.0
    """Share of the output lost for every degree that its place is hotter than that."""


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
    address: Text = ""
    carriage: Money = "0"
    """Of one order, before tax, in the supplier's currency."""
    free_from: Money | None = None
    """Net of an order from which no carriage is asked."""
    smallest_order: Money | None = None
    """Net of the smallest order that is taken."""
    currency: Name | None = None
    """The vehicle's where it is not said."""
    tax: Share | None = None
    """The vehicle's where it is not said; 0 for a supplier abroad that charges none."""
    lead_days: int | None = None


class Owned(Section):
    """Stock that is there already: pieces, or one length of wire or sleeve."""

    pieces: float = Field(default=0, ge=0)
    length: LengthM | None = None
    colour: Name | None = None


def _owned(value: Any) -> Any:
    """12 is pieces; '8 m' a length; '8 m RD' a length of red wire."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return {"pieces": float(value)}
    if not isinstance(value, str):
        return value
    words = value.split()
    if len(words) == 1:
        return {"pieces": value}
    coloured = len(words) > 2
    return {
        "length": " ".join(words[:-1] if coloured else words),
        "colour": words[-1] if coloured else None,
    }


class Part(Section):
    """Something to buy; `serves` names the needs that it meets."""

    what: Text
    serves: Annotated[list[Name], BeforeValidator(_many)] = []
    supplier: Name | None = None
    price: Money | None = None
    """Of one pack, before tax, as decimal text."""
    pack: float = Field(default=1, gt=0, le=1_000_000)
    """Pieces in a pack, or metres for wire and sleeving."""
    in_one_length: bool = False
    """Packs bought together come uncut: wire by the metre."""
    breaks: dict[int, Money] = {}
    """Packs -> price of each pack from that many on: {5: 8.40, 20: 7.90}."""
    at_least: int = Field(default=1, gt=0, le=100_000)
    """Fewest packs that the supplier sells."""
    currency: Name | None = None
    """The supplier's where it is not said."""
    lead_days: int | None = None
    dated: datetime.date | None = None
    """When the price was asked for."""
    owned: Annotated[list[Annotated[Owned, BeforeValidator(_owned)]], BeforeValidator(_many)] = []
    substitutes: Annotated[list[Name], BeforeValidator(_many)] = []
    """Parts that may be bought in its place."""
    carry: int | None = Field(default=None, ge=0)
    """Pieces in the spares box; a rule by kind where it is not said."""
    mass: MassKg | None = None
    """Of one piece, or of one metre."""


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
    latch: Literal["top", "bottom", "left", "right"] | None = None
    """Side of the tab that holds it in its mate, as seen from the wire side."""
    sealed: bool = False
    temperature: TemperatureC = 105.0
    hole: LengthM | None = None
    """Hole that its fixed half needs in a panel."""
    shell: LengthM | None = None
    """Diameter of the back of the shell, where a boot grips."""
    takes: list[Literal["lock", "backshell"]] = []
    """What is bought beside the housing: a lock for its contacts, a backshell."""
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
    """Share of time on, in pulses of up to about a second; amps and ohms are those while on. A
    load that is on for longer at a stretch counts as on, on the safe side."""
    frequency: FrequencyHz | None = Field(default=None, gt=0)
    """At which it is switched on and off to make its duty."""
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
    frequency: FrequencyHz | None = Field(default=None, gt=0)
    """Highest at which it can switch its load."""


class Input(Section):
    pull_up: ResistanceOhm | None = None
    to: VoltageV = 5.0
    ground: Name | None = None
    tolerance: Share = 0.01
    """Of the pull-up's ohms."""
    volts_tolerance: Share = 0.01
    low: VoltageV | None = None
    """Below this a digital input reads low, …"""
    high: VoltageV | None = None
    """… and above this it reads high."""


class Source(Section):
    """A regulated voltage given out on a pin while the controller is alive."""

    volts: VoltageV
    limit: CurrentA = 0.1
    through: ResistanceOhm = 0.5
    ground: Name | None = None
    tolerance: Share = 0.01


class Power(Section):
    feeds: Annotated[list[Name], BeforeValidator(_many)]
    grounds: Annotated[list[Name], BeforeValidator(_many)]
    works_from: VoltageV = 6.0


class Reading(Section):
    """What a sensor shows on a pin: 'cold 20 degC: 2.50 V'."""

    pin: Name
    when: Text
    expect: Text


class Thermistor(Section):
    """NTC: `ohms` at a temperature and a B value, two or three points, or coefficients."""

    ohms: ResistanceOhm | None = None
    at: TemperatureC = 25.0
    beta: BetaK | None = None
    beta_tolerance: Share = 0.0
    points: list[tuple[TemperatureC, ResistanceOhm]] = []
    coefficients: tuple[float, float, float] | None = None
    """A, B, C of Steinhart and Hart."""
    tolerance: Share = 0.05
    """Of the resistance, at every temperature."""


class Platinum(Section):
    """Platinum thermometer (IEC 60751): ohms at 0 degC and tolerance class."""

    ohms: ResistanceOhm = 100.0
    class_: Literal["AA", "A", "B", "C"] = "B"


class Output(Section):
    """A voltage that follows what is measured, straight between the points."""

    points: list[tuple[MeasuredValue, VoltageV]]
    of: VoltageV | None = None
    """Supply at which the points hold, where the output follows it (ratiometric)."""
    tolerance: Share = 0.02
    """Of the span between the first and the last point."""
    through: ResistanceOhm = 0.0
    """Resistance of the output stage."""
    track: ResistanceOhm | None = None
    """End to end resistance of a potentiometer's track."""


class Sender(Section):
    """A resistance that follows what is measured, straight between the points."""

    points: list[tuple[MeasuredValue, ResistanceOhm]]
    tolerance: Share = 0.05
    """Of the resistance."""


class CurrentOutput(Section):
    """A current that follows what is measured, into a resistor in the controller."""

    points: list[tuple[MeasuredValue, CurrentA]]
    into: ResistanceOhm = 250.0
    into_tolerance: Share = 0.01
    tolerance: Share = 0.01
    """Of the span between the first and the last point."""


class Pickup(Section):
    """Hall pickup with an open collector: pulls the pin low while `on`."""

    on: Text = "target in front of the sensor"
    off: Text = "nothing in front of the sensor"
    low: VoltageV = 0.4
    """Most that is left on the output while it pulls low."""
    leak: CurrentA = 1e-5
    """Most that flows into the output while it is off."""


class Inductive(Section):
    """Coil and magnet: resistance cold, and alternating volts at a speed."""

    ohms: ResistanceOhm
    tolerance: Share = 0.1
    volts: VoltageV | None = None
    """Root mean square, unloaded, at the speed `at`; in proportion at other speeds."""
    at: SpeedRpm = 300.0
    volts_tolerance: Share = 0.3


class Position(Section):
    """What a switch is called open and closed."""

    closed: Text = "closed"
    open: Text = "open"


class Signal(Section):
    """What a sensor gives on one of its pins: one of the characteristics below."""

    return_: Name | None = None
    """Pin that it is measured against; default the other of two pins."""
    supply: Name | None = None
    """Pin that feeds it, where the output follows its supply."""
    ntc: Thermistor | None = None
    platinum: Platinum | None = None
    ohms: Sender | None = None
    volts: Output | None = None
    current: CurrentOutput | None = None
    hall: Pickup | None = None
    inductive: Inductive | None = None
    switch: Position | None = None
    show: list[MeasuredValue] = []
    """Values for which the book gives the reading, the one at rest first; default the points."""
    state: Name | None = None
    """Operating state of the readings; default the first in which the pin is alive."""


class Pair(Section):
    """Two tracks that a controller holds against each other."""

    tracks: tuple[Name, Name]
    sum: VoltageV | None = None
    ratio: float | None = Field(default=None, gt=0)
    """First over second."""
    within: Share = 0.05
    """What the controller allows before it takes them to disagree."""


Kind = Literal[
    "battery",
    "alternator",
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


Names = Annotated[list[Name], BeforeValidator(_many)]


class Loss(Section):
    """What happens when nothing comes from a device any more, or from a data bus."""

    what: Annotated[str, BeforeValidator(_text), Field(min_length=1, max_length=200)]
    """In words: 'the engine does not start'."""
    dead: Names = []
    """Devices or loads that the controller then leaves off."""
    stuck_on: Names = []
    """Those that it then leaves on."""
    in_: In = When()


Caution = Literal["fuel", "hot", "cranking", "moving", "lifting", "battery"]


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
    gives: dict[Name, Signal] = {}
    """Signal pin -> what the sensor gives there."""
    pairs: Annotated[list[Pair], BeforeValidator(_many)] = []
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
    service_loop: LengthM | None = None
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
    slot: int | None = None
    between: tuple[Name, Name] | None = None
    """The two harnesses that a pass-through joins."""
    carries: dict[Name, Name] = {}
    """Pass-through cavity -> circuit, where the author fixes it."""
    sockets: Name | None = None
    """Harness whose half of a pass-through has the sockets; default the one nearer the battery, so
    that no bare pin is live when it is unplugged."""
    hole: LengthM | None = None
    """Hole of a pass-through in its panel, as it was cut."""
    when_lost: Annotated[list[Loss], BeforeValidator(_many)] = []
    """What a controller does once any load of this device is dead: a sensor open or unfed."""
    on_vehicle: bool = False
    """It is there already and not bought: half of a pass-through, a fuse or relay that the
    module it is on brings along, a device."""
    caution: Caution | None = None


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
    bend: LengthM | None = Field(default=None, gt=0)
    """Radius of its tightest bend, on the inside."""
    grommet: LengthM | None = Field(default=None, gt=0)
    """Inside diameter of the tightest grommet or hole that it is drawn through."""
    from_heat: LengthM | None = Field(default=None, ge=0)
    """Least distance to a turbocharger, manifold or exhaust, with no shield between."""
    layup: Literal["parallel", "concentric"] | None = None
    """As its harness where it is not said."""


class Mark(Section):
    """A point on a rope that was laid along the tape; the rest says how the rope gets there."""

    at: Name
    reads: LengthM
    """What the tape shows here."""
    zone: Name | None = None
    known: Literal["measured", "estimated"] | None = None
    clamps: int = 0
    bend: LengthM | None = Field(default=None, gt=0)
    grommet: LengthM | None = Field(default=None, gt=0)
    from_heat: LengthM | None = Field(default=None, ge=0)


class Tape(Section):
    """One rope laid along a tape and read mark by mark; makes a run from each mark to the next."""

    zone: Name
    known: Literal["measured", "estimated"] = "measured"
    marks: Annotated[list[Mark], Field(min_length=2)]


class Harness(Section):
    title: Text = ""
    layup: Literal["parallel", "concentric"] = "parallel"
    cover: Literal["braided sleeve", "heat-shrink", "tape", "none"] = "braided sleeve"
    runs: list[Run] = []
    tapes: list[Tape] = []
    no_splices: list[Name] = []
    """Points where nothing may be spliced: a grommet, a tight clamp, a joint to be opened."""


class Plan(Section):
    """Where things are: measured back from the nose, right of the middle, above the floor."""

    length: Annotated[LengthM, Field(gt=0, le=30)]
    width: Annotated[LengthM, Field(gt=0, le=10)]
    axles: list[LengthM] = []
    """Back from the nose."""
    track: Annotated[LengthM, Field(ge=0, le=10)] = 0.0
    """Between the middles of an axle's wheels; 0 for one wheel in the middle."""
    walls: dict[Name, LengthM] = {}
    """Bulkheads across the vehicle, back from the nose."""
    places: dict[Name, tuple[LengthM, LengthM] | tuple[LengthM, LengthM, LengthM]]
    """Point of the rope -> back from the nose, right of the middle (left: minus), and height."""


class Note(Section):
    file: Text
    with_: Text
    """'vehicle', 'supply', 'system fuel', 'harness engine', 'troubleshooting', …"""


class Waiver(Section):
    """A finding that the author accepts."""

    rule: Name
    about: Name
    """What the finding is about. A wire, splice or pass-through contact may be named by its
    circuit, a wire by a pin at its end too: numbers shift when a circuit is added, these stay."""
    because: Text


class LeaveOut(Section):
    """What a variant does without; a system goes with its circuits and devices."""

    systems: list[Name] = []
    devices: list[Name] = []
    circuits: list[Name] = []


class Sign(Section):
    """What is seen at once, by devices or by single loads (`headlamp-left.1`); `all` of them."""

    dead: Names = []
    weak: Names = []
    stuck_on: Names = []
    reads_wrong: Names = []
    """Sensors whose reading is off."""
    blows: Names = []
    """Fuses that blow again when renewed, in the states named and no other."""
    works: Names = []
    """What is well all the same."""
    in_: In = When()
    """States in which it is seen; default all in which the things named should work."""


class Cause(Section):
    """What has the same look and is not electrical."""

    what: Annotated[str, BeforeValidator(_text), Field(min_length=1, max_length=200)]
    check: Text
    """What to look at, listen to or feel."""
    likely: Literal["often", "sometimes", "seldom"] = "sometimes"
    caution: Caution | None = None


class Symptom(Section):
    """What a driver says, named by its key: 'cranks but does not fire'."""

    about: Text = ""
    seen: Annotated[list[Sign], BeforeValidator(_many)] = []
    """One of these is seen."""
    causes: Annotated[list[Cause], BeforeValidator(_many)] = []


class Variant(Section):
    """A choice to compare: what is left out, and what is written otherwise."""

    title: Text = ""
    about: Text = ""
    leave_out: LeaveOut = LeaveOut()
    change: dict[Name, Any] = {}
    """Sections as they are written elsewhere, laid over the rest; an empty entry takes out."""


class Description(Section):
    """The whole folder, merged."""

    vehicle: Vehicle
    supply: Supply
    states: dict[Name, State]
    zones: dict[Name, Zone]
    systems: dict[Name, System]
    suppliers: dict[Name, Supplier] = {}
    wires: dict[Name, OwnWire] = {}
    """Families of wire beside those of the catalogue."""
    parts: dict[Name, Part] = {}
    plugs: dict[Name, Plug] = {}
    devices: dict[Name, Device]
    cables: dict[Name, Cable] = {}
    circuits: dict[Name, Circuit]
    rope: dict[Name, Harness]
    plan: Plan | None = None
    """Without it the book shows no plan of the vehicle."""
    symptoms: dict[Name, Symptom] = {}
    """What the driver sees, in the author's words."""
    variants: dict[Name, Variant] = {}
    notes: list[Note] = []
    waivers: list[Waiver] = []

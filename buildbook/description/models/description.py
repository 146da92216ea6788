"""The whole folder, merged."""

from __future__ import annotations

from buildbook.description.models.base import Name, Section
from buildbook.description.models.circuits import Cable, Circuit
from buildbook.description.models.devices import Device
from buildbook.description.models.feeds import Feed
from buildbook.description.models.kinds import OwnKind
from buildbook.description.models.notes import Note, Waiver
from buildbook.description.models.parts import Part, Supplier
from buildbook.description.models.plugs import Plug
from buildbook.description.models.rope import Harness, Plan
from buildbook.description.models.supply import Supply
from buildbook.description.models.symptoms import Complaint
from buildbook.description.models.variants import Variant
from buildbook.description.models.vehicle import State, System, VehicleData, Zone
from buildbook.description.models.wires import OwnWire


class Description(Section):
    """The whole folder, merged."""

    vehicle: VehicleData
    """Name, revision, date, paper, nominal voltage, allowed drop, currency and tax."""
    supply: Supply
    """What gives current: batteries, alternators, dynamos, magnetos, converters."""
    states: dict[Name, State]
    """Operating states: off, ignition on, cranking, idle, full load at night, …"""
    zones: dict[Name, Zone]
    """Ambient temperature, wet or dry, moving or still."""
    systems: dict[Name, System]
    """The chapters: fuel, ignition, lights, …"""
    suppliers: dict[Name, Supplier] = {}
    """Who sells: carriage, tax, currency."""
    wires: dict[Name, OwnWire] = {}
    """Families of wire beside those of the catalogue, from a data sheet."""
    parts: dict[Name, Part] = {}
    """What to buy: which need a part serves, price and its date, packs, breaks, stock owned."""
    plugs: dict[Name, Plug] = {}
    """Connector types: cavities, keyway and latch as seen from the wire side, contacts, sealing."""
    kinds: dict[Name, OwnKind] = {}
    """Kinds of your own, and what you change of the program's: what many devices have in common."""
    feeds: dict[Name, Feed] = {}
    """Fuses and relays in one line each: from which bus, through what, to what."""
    devices: dict[Name, Device]
    """Loads, motors, lamps, relays, switches, sensors, controllers, panel, fuses, ground points,
    pass-throughs."""
    cables: dict[Name, Cable] = {}
    """Circuits kept together: twisted pairs, shielded cores and their screen."""
    circuits: dict[Name, Circuit]
    """Which pins share a potential; two pins make one wire, more make a splice."""
    rope: dict[Name, Harness]
    """Each harness as a tree of runs: from, to, length off the tape, zone, how well known; laid
    side by side or in twisted layers."""
    plan: Plan | None = None
    """Where things are; without it the book shows no plan of the vehicle."""
    symptoms: dict[Name, Complaint] = {}
    """What a driver says, in your words: which of the computed symptoms it may be, and causes
    that are not electrical."""
    variants: dict[Name, Variant] = {}
    """Choices to compare: what is left out, what is written otherwise."""
    notes: list[Note] = []
    """Markdown beside the YAML, and the chapter that it belongs to."""
    waivers: list[Waiver] = []
    """Findings that you accept, with the reason."""

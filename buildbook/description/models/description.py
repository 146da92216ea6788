"""The whole folder, merged."""

from __future__ import annotations

from buildbook.description.models.base import Name, Section
from buildbook.description.models.circuits import Cable, Circuit
from buildbook.description.models.devices import Device
from buildbook.description.models.notes import Note, Waiver
from buildbook.description.models.parts import Part, Supplier
from buildbook.description.models.plugs import Plug
from buildbook.description.models.rope import Harness, Plan
from buildbook.description.models.supply import Supply
from buildbook.description.models.symptoms import Symptom
from buildbook.description.models.variants import Variant
from buildbook.description.models.vehicle import State, System, Vehicle, Zone
from buildbook.description.models.wires import OwnWire


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

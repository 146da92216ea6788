"""The description language: one typed model for each section of the vehicle folder."""

from __future__ import annotations

from buildbook.description.models.base import Caution, In, Money, Name, Names, Section, Text, When
from buildbook.description.models.circuits import Cable, Circuit, Lead
from buildbook.description.models.description import Description
from buildbook.description.models.devices import (
    Coil,
    Contact,
    Device,
    Draw,
    Driver,
    Follows,
    Input,
    Kind,
    Loss,
    Pin,
    Power,
    Source,
)
from buildbook.description.models.feeds import Feed
from buildbook.description.models.kinds import OwnKind
from buildbook.description.models.notes import Note, Waiver
from buildbook.description.models.parts import Owned, Part, Supplier
from buildbook.description.models.plugs import Plug
from buildbook.description.models.rope import Datum, Harness, Hole, Mark, Plan, Run, Tape, Wall
from buildbook.description.models.sensors import (
    CurrentOutput,
    ExpectedReading,
    Inductive,
    Output,
    Pair,
    Pickup,
    Platinum,
    Position,
    Sender,
    Signal,
    Thermistor,
)
from buildbook.description.models.supply import (
    Alternator,
    Battery,
    Converter,
    CutOut,
    Dynamo,
    Generator,
    Magneto,
    Supply,
)
from buildbook.description.models.symptoms import Cause, Complaint, Sign
from buildbook.description.models.variants import LeaveOut, Move, Variant
from buildbook.description.models.vehicle import (
    Lengths,
    Reel,
    State,
    System,
    VehicleData,
    WireChoice,
    Zone,
)
from buildbook.description.models.wire_sizes import WireSizes
from buildbook.description.models.wires import OwnSize, OwnWire

__all__ = [
    "Alternator",
    "Battery",
    "Cable",
    "Cause",
    "Caution",
    "Circuit",
    "Coil",
    "Contact",
    "Converter",
    "CurrentOutput",
    "CutOut",
    "Datum",
    "Description",
    "Device",
    "Draw",
    "Driver",
    "Dynamo",
    "Feed",
    "Follows",
    "Generator",
    "Harness",
    "Hole",
    "In",
    "Inductive",
    "Input",
    "Kind",
    "Lead",
    "LeaveOut",
    "Lengths",
    "Loss",
    "Magneto",
    "Mark",
    "Money",
    "Move",
    "Name",
    "Names",
    "Note",
    "Output",
    "OwnKind",
    "OwnSize",
    "OwnWire",
    "Owned",
    "Pair",
    "Part",
    "Pickup",
    "Pin",
    "Plan",
    "Platinum",
    "Plug",
    "Position",
    "Power",
    "Reel",
    "ExpectedReading",
    "Run",
    "Section",
    "Sender",
    "Sign",
    "Signal",
    "Source",
    "State",
    "Supplier",
    "Supply",
    "Complaint",
    "System",
    "Tape",
    "Text",
    "Thermistor",
    "Variant",
    "VehicleData",
    "Waiver",
    "Wall",
    "When",
    "WireChoice",
    "WireSizes",
    "Zone",
]

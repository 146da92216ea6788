"""The vehicle as a whole, its states, zones and systems, and what is the same everywhere."""

from __future__ import annotations

import datetime
from typing import Literal

from pydantic import Field

from buildbook.description.amounts import (
    AltitudeM,
    AmbientC,
    BatteryC,
    BoardM,
    ConductorSize,
    Share,
    SlackM,
    SomeShare,
    SpeedRpm,
    SystemV,
)
from buildbook.description.models.base import Colour, Money, Name, Section, Text, Title
from buildbook.description.models.wire_sizes import WireSizes


class WireChoice(Section):
    family: Name = "thin-wall"
    smallest: ConductorSize = Field(default="0.35 mm2", validate_default=True)
    colours: list[Colour] = []
    """The reels that are owned or will be bought, `RD` or `RD/WH`; any colours where none is named.
    In a small plug no two circuits have one colour if these let them; in a large one the number
    on the wire tells."""
    sizes: list[ConductorSize] = []
    """The sizes that are owned or will be bought; any where none is named. A wire that none of
    them serves, for its current or its contacts, has another."""


class Lengths(Section):
    """What wires are cut longer than their rope."""

    service_loop: SlackM = 0.02
    """At every terminal, so that a plug comes out far enough to be worked on."""
    cut_backs: int = Field(default=1, ge=0, le=5)
    """How often a terminal can be cut off and crimped anew."""
    moving: Share = 0.05
    """Of each stretch of moving rope, at each end where it is held still; at least 50 mm."""
    estimated: Share = 0.15
    """Of rope whose length was estimated; at least 100 mm a run."""
    not_fitted: SlackM = 0.3
    """At a device that is not fitted yet."""


class VehicleData(Section):
    name: Name
    about: Text = ""
    revision: Name = "A"
    date: datetime.date
    paper: Literal["A4", "Letter"] = "A4"
    nominal: SystemV = 12.0
    currency: Name = "EUR"
    rates: dict[Name, Money] = {}
    """What one unit of another currency costs in the vehicle's: {GBP: 1.17}."""
    tax: Share = 0.0
    buyer: Text = ""
    """Name and address that stand on the orders."""
    variant: Name | None = None
    """The one of `variants` that the book is built for; without it, as written."""
    altitude: AltitudeM = 0.0
    board: tuple[BoardM, BoardM] = (2.4, 1.2)
    """Width and height of the board that harnesses are built on."""
    drop: SomeShare = 0.03
    """Allowed drop of an ordinary load, feed and return, as a share of nominal."""
    critical_drop: SomeShare = 0.02
    wire: WireChoice = WireChoice()
    lengths: Lengths = Lengths()


class State(Section):
    about: Text = ""
    engine: SpeedRpm = 0.0
    share: Share = 0.0
    """Share of a day's running time spent here, for the charging balance."""
    battery_at: BatteryC | None = None
    """How cold or warm the batteries are; without it, as their volts and ohms are written."""
    charged: Share = 1.0
    """Share of their charge that the batteries have."""


class Zone(Section):
    about: Text = ""
    ambient: AmbientC
    wet: bool = False
    moving: bool = False


class System(WireSizes):
    title: Title
    about: Text = ""

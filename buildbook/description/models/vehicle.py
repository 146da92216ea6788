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
    WireM,
)
from buildbook.description.models.base import Colour, Money, Name, Section, Text, Title
from buildbook.description.models.wire_sizes import WireSizes
from buildbook.figures import Units

MOST_REELS = 500
"""Our choice: more would only be searched in vain."""


class Reel(Section):
    """Wire that is on the shelf: a reel, or what is left of one."""

    family: Name | None = None
    """Family of its wire; the vehicle's where it is not said."""
    size: ConductorSize
    """Of its conductor."""
    colour: Colour
    """`RD` or `RD/WH`."""
    length: WireM
    """How much is left on it."""


class WireChoice(Section):
    family: Name = "thin-wall"
    """Family of wire; `buildbook explain families` lists them."""
    smallest: ConductorSize = Field(default="0.35 mm2", validate_default=True)
    """No wire is thinner: thin wires break at the bench."""
    colours: list[Colour] = []
    """The reels that are owned or will be bought, `RD` or `RD/WH`; any colours where none is named.
    In a small plug no two circuits have one colour if these let them; in a large one the number
    on the wire tells."""
    sizes: list[ConductorSize] = []
    """The sizes that are owned or will be bought; any where none is named. A wire that none of
    them serves, for its current or its contacts, has another."""
    reels: list[Reel] = Field(default=[], max_length=MOST_REELS)
    """Wire that is on the shelf. A circuit has a colour of these where it fits, a wire the next of
    these sizes up to twice its copper, and only what is missing is bought."""

    def family_of(self, reel: Reel) -> str:
        """Family of a reel's wire."""
        return reel.family or self.family


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
    """What the vehicle is called: it stands on every page and names the files."""
    about: Text = ""
    """What it is, in a sentence or two, for the first page."""
    revision: Name = "A"
    """Of the whole description; pages carry the one in which they last changed."""
    date: datetime.date
    """Of this revision."""
    paper: Literal["A4", "Letter"] = "A4"
    """Of the whole book; the booklet for the track is half of it."""
    units: Literal["metric", "inch"] = "metric"
    """In which the book says lengths and thicknesses: millimetres and metres, or inches, to the
    eighth where a tape is read, and feet. What is written here has its own unit anyway, and wire
    the sizes of its family."""
    language: Literal["en", "de"] = "en"
    """Of the book's own words, with its decimal sign: English or German. What is written here is
    printed as it is written."""
    nominal: SystemV = 12.0
    """What the system is called: 6, 12, 24 or 48 V. Loads state their amps at it where they say no
    other."""
    currency: Name = "EUR"
    """In which sums are made; a supplier may have another."""
    rates: dict[Name, Money] = {}
    """What one unit of another currency costs in the vehicle's: {GBP: 1.17}."""
    tax: Share = 0.0
    """On top of all prices."""
    buyer: Text = ""
    """Name and address that stand on the orders."""
    variant: Name | None = None
    """The one of `variants` that the book is built for; without it, as written."""
    altitude: AltitudeM = 0.0
    """Highest place where it runs, above the sea: thin air cools wires less."""
    board: tuple[BoardM, BoardM] = (2.4, 1.2)
    """Width and height of the board that harnesses are built on."""
    drop: SomeShare = 0.03
    """Allowed drop of an ordinary load, feed and return, as a share of nominal."""
    critical_drop: SomeShare = 0.02
    """Allowed drop of what is `critical`, likewise."""
    wire: WireChoice = WireChoice()
    """Which wire is used where a circuit says no other."""
    lengths: Lengths = Lengths()
    """What is added to the length of the rope."""

    @property
    def measures(self) -> Units:
        """How its book says lengths and thicknesses."""
        return Units(self.units == "inch", self.wire.smallest.label.startswith("AWG"))


class State(Section):
    about: Text = ""
    """What is on and what the driver does."""
    engine: SpeedRpm = 0.0
    """Its speed; 0 where it stands."""
    share: Share = 0.0
    """Share of a day's running time spent here, for the charging balance."""
    battery_at: BatteryC | None = None
    """How cold or warm the batteries are; without it, as their volts and ohms are written."""
    charged: Share = 1.0
    """Share of their charge that the batteries have."""


class Zone(Section):
    about: Text = ""
    """Where it is."""
    ambient: AmbientC
    """Warmest air there."""
    wet: bool = False
    """Splashed: connectors there have to be sealed."""
    moving: bool = False
    """Rope there bends while it is used: it is cut longer."""
    reach: Literal["at hand", "under the bonnet", "behind a cover", "under the car"] | None = None
    """What must be opened or taken off before a hand is there; without it a dry zone is at hand and
    a wet one under the bonnet. Readings that are easily reached are asked for first."""


class System(WireSizes):
    title: Title
    """Of its chapter."""
    about: Text = ""
    """What belongs to it."""

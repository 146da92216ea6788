"""The rope: runs, tapes, harnesses, and where its points are in the vehicle."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from buildbook.description.amounts import DistanceM, PlaceM, RunLengthM, SmallM, TapeM, VehicleM
from buildbook.description.models.base import Name, Section, Title

MOST_CLAMPS = 1000
"""Of one run: ten a metre on the longest. Our choice."""


class Run(Section):
    from_: Name
    """One end."""
    to: Name
    """The other end."""
    length: RunLengthM
    """As read off the tape."""
    zone: Name
    """What it crosses."""
    known: Literal["measured", "estimated"] = "measured"
    """`estimated` ropes are cut long."""
    clamps: int = Field(default=0, ge=0, le=MOST_CLAMPS)
    """That hold it."""
    bend: SmallM | None = None
    """Radius of its tightest bend, on the inside."""
    grommet: SmallM | None = None
    """Inside diameter of the tightest grommet or hole that it is drawn through."""
    from_heat: DistanceM | None = None
    """Least distance to a turbocharger, manifold or exhaust, with no shield between."""
    marked: dict[Name, TapeM] = {}
    """What was marked on the rope, a grommet or a bracket, and how far from its first point."""
    layup: Literal["parallel", "concentric"] | None = None
    """As its harness where it is not said."""


class Mark(Section):
    """A point on a rope that was laid along the tape; the rest says how the rope gets there."""

    at: Name
    """Point of the rope."""
    reads: TapeM
    """What the tape shows here."""
    zone: Name | None = None
    """From the mark before to this one."""
    known: Literal["measured", "estimated"] | None = None
    """From the mark before to this one."""
    clamps: int = Field(default=0, ge=0, le=MOST_CLAMPS)
    """From the mark before to this one."""
    bend: SmallM | None = None
    """As of a run."""
    grommet: SmallM | None = None
    """As of a run."""
    from_heat: DistanceM | None = None
    """As of a run."""
    marked: dict[Name, TapeM] = {}
    """As of a run, from the mark before."""


class Tape(Section):
    """One rope laid along a tape and read mark by mark; makes a run from each mark to the next."""

    zone: Name
    """What it crosses, where a mark says no other."""
    known: Literal["measured", "estimated"] = "measured"
    """As of a run, where a mark says no other."""
    marks: Annotated[list[Mark], Field(min_length=2)]
    """In their order along the tape."""


class Harness(Section):
    title: Title = ""
    """What it is called in the book."""
    layup: Literal["parallel", "concentric"] = "parallel"
    """Wires side by side, or twisted in layers."""
    cover: Literal["braided sleeve", "heat-shrink", "tape", "none"] = "braided sleeve"
    """What is drawn over it."""
    runs: list[Run] = []
    """Ropes between two points."""
    tapes: list[Tape] = []
    """Ropes that were read mark by mark."""
    no_splices: list[Name] = []
    """Points where nothing may be spliced: a grommet, a tight clamp, a joint to be opened."""


class Hole(Section):
    """A hole for what is no wiring: a hose, a pipe, a cable."""

    hole: SmallM
    """Its diameter, as it is drilled."""
    at: tuple[PlaceM, PlaceM] | None = None
    """Its centre: right of the middle (left: minus), and height, as `places` have them; without
    it the hole is marked on the car."""


class Datum(Section):
    """From where holes are measured on the car."""

    is_: Title
    """What is found there: a bolt, a corner."""
    at: tuple[PlaceM, PlaceM]
    """Where it is: right of the middle (left: minus), and height."""


class Wall(Section):
    """A distance alone, or these keys."""

    at: PlaceM
    """Back from the nose."""
    datum: Datum | None = None
    """From where its holes are measured on the car; without it from the vehicle's middle and from
    where heights are measured."""
    holes: dict[Name, Hole] = {}
    """Hose, pipe or cable that passes -> its hole. Pass-throughs whose point lies on the wall, and
    runs with a `grommet` there, need no line."""


def _wall(value: Any) -> Any:
    return value if isinstance(value, (dict, Wall)) else {"at": value}


class Plan(Section):
    """Where things are: measured back from the nose, right of the middle, above the floor."""

    outline: Literal["car", "motorcycle", "open wheel", "trailer", "boat", "plain"] = "car"
    """What is drawn round its places; `open wheel` has its body between the wheels, `plain` is a
    rectangle."""
    length: VehicleM
    """Of the vehicle."""
    width: VehicleM
    """Of the vehicle."""
    axles: list[PlaceM] = []
    """Back from the nose."""
    track: DistanceM = 0.0
    """Between the middles of an axle's wheels; 0 for one wheel in the middle."""
    walls: dict[Name, Annotated[Wall, BeforeValidator(_wall)]] = {}
    """Bulkheads across the vehicle, back from the nose, and what is drilled into them."""
    places: dict[Name, tuple[PlaceM, PlaceM] | tuple[PlaceM, PlaceM, PlaceM]]
    """Point of the rope -> back from the nose, right of the middle (left: minus), and height."""

"""The rope: runs, tapes, harnesses, and where its points are in the vehicle."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from buildbook.description.amounts import DistanceM, PlaceM, RunLengthM, SmallM, TapeM, VehicleM
from buildbook.description.models.base import Name, Section, Title

MOST_CLAMPS = 1000
"""Of one run: ten a metre on the longest. Our choice."""


class Run(Section):
    from_: Name
    to: Name
    length: RunLengthM
    zone: Name
    known: Literal["measured", "estimated"] = "measured"
    clamps: int = Field(default=0, ge=0, le=MOST_CLAMPS)
    bend: SmallM | None = None
    """Radius of its tightest bend, on the inside."""
    grommet: SmallM | None = None
    """Inside diameter of the tightest grommet or hole that it is drawn through."""
    from_heat: DistanceM | None = None
    """Least distance to a turbocharger, manifold or exhaust, with no shield between."""
    layup: Literal["parallel", "concentric"] | None = None
    """As its harness where it is not said."""


class Mark(Section):
    """A point on a rope that was laid along the tape; the rest says how the rope gets there."""

    at: Name
    reads: TapeM
    """What the tape shows here."""
    zone: Name | None = None
    known: Literal["measured", "estimated"] | None = None
    clamps: int = Field(default=0, ge=0, le=MOST_CLAMPS)
    bend: SmallM | None = None
    grommet: SmallM | None = None
    from_heat: DistanceM | None = None


class Tape(Section):
    """One rope laid along a tape and read mark by mark; makes a run from each mark to the next."""

    zone: Name
    known: Literal["measured", "estimated"] = "measured"
    marks: Annotated[list[Mark], Field(min_length=2)]


class Harness(Section):
    title: Title = ""
    layup: Literal["parallel", "concentric"] = "parallel"
    cover: Literal["braided sleeve", "heat-shrink", "tape", "none"] = "braided sleeve"
    runs: list[Run] = []
    tapes: list[Tape] = []
    no_splices: list[Name] = []
    """Points where nothing may be spliced: a grommet, a tight clamp, a joint to be opened."""


class Plan(Section):
    """Where things are: measured back from the nose, right of the middle, above the floor."""

    length: VehicleM
    width: VehicleM
    axles: list[PlaceM] = []
    """Back from the nose."""
    track: DistanceM = 0.0
    """Between the middles of an axle's wheels; 0 for one wheel in the middle."""
    walls: dict[Name, PlaceM] = {}
    """Bulkheads across the vehicle, back from the nose."""
    places: dict[Name, tuple[PlaceM, PlaceM] | tuple[PlaceM, PlaceM, PlaceM]]
    """Point of the rope -> back from the nose, right of the middle (left: minus), and height."""

"""The rope: runs, tapes, harnesses, and where its points are in the vehicle."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from buildbook.description.models.base import Name, Section, Text
from buildbook.description.quantities import LengthM


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

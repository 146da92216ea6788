"""Families of wire that the catalogue does not hold."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from buildbook.description.amounts import (
    ConductorSize,
    MassKg,
    ResistanceOhm,
    SmallM,
    StrandM,
    TemperatureC,
)
from buildbook.description.models.base import Section, Title


class OwnSize(Section):
    """One size of a wire that the author adds, as its data sheet gives it."""

    size: ConductorSize
    """As it is called."""
    resistance_of_1_km: ResistanceOhm
    """At 20 degC."""
    outside: SmallM
    """Diameter over the insulation."""
    mass_of_1_km: MassKg | None = None
    """Computed where it is not given."""
    strands: int = Field(default=0, ge=0, le=100_000)
    """How many; 0 where it is not known."""
    strand: StrandM = 0.0
    """Diameter of one strand."""


class OwnWire(Section):
    """A family of wire that the catalogue does not hold."""

    title: Title
    """What it is called in the book."""
    rated: TemperatureC
    """Conductor temperature that the insulation stands for ever."""
    overload: TemperatureC | None = None
    """That it stands for hours; the rated one where it is not given."""
    short_circuit: TemperatureC | None = None
    """That it stands for up to 5 s; that of an overload where it is not given."""
    source: Annotated[str, Field(min_length=1, max_length=400)]
    """Where the values come from: a data sheet, a standard, a measurement."""
    sizes: Annotated[list[OwnSize], Field(min_length=1)]
    """The sizes that there are."""

"""Rows of the catalogue; every row says where it comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass

AGED_ABOVE_C = 25.0
"""ISO 6722-1, short-term aging (memory)."""


@dataclass(frozen=True)
class Conductor:
    label: str
    """'0.5 mm2' or 'AWG 20'."""
    area_mm2: float
    ohm_per_m_20c: float
    outside_mm: float
    kg_per_m: float
    """In a cable, this wire's share of the whole."""
    how: str
    """read, memory or computed"""
    strands: int = 0
    """0 where it is not known."""
    strand_mm: float = 0.0
    """Diameter of each strand."""
    cable_mm: float | None = None
    """Outside diameter of the whole cable of which this is a core."""

    @property
    def copper_mm2(self) -> float:
        """Copper that there is to warm: that of the strands where it is less than the size says."""
        drawn = self.strands * math.pi / 4 * self.strand_mm**2
        return min(self.area_mm2, drawn) if drawn else self.area_mm2


@dataclass(frozen=True)
class WireFamily:
    id: str
    title: str
    rated_c: float
    """Highest continuous conductor temperature of the insulation."""
    conductors: tuple[Conductor, ...]
    """Thinnest first."""
    source: str
    overload_c: float
    """Conductor temperature that the insulation stands for hours; `rated_c` if none is known."""
    short_circuit_c: float
    """Conductor temperature that it stands for up to 5 s; `overload_c` if none is known."""

    @property
    def aging_c(self) -> float:
        """Conductor temperature that it stands for days: aged 240 h at 25 degC above its class."""
        return min(self.rated_c + AGED_ABOVE_C, self.overload_c)


@dataclass(frozen=True)
class ContactFamily:
    id: str
    title: str
    amps: float
    ohms: float
    smallest_mm2: float
    largest_mm2: float
    stud: bool
    strip_mm: float
    sealed_od_mm: tuple[float, float] | None
    source: str


@dataclass(frozen=True)
class FuseFamily:
    id: str
    title: str
    ratings_a: tuple[float, ...]
    colours: dict[float, str]
    bands: tuple[tuple[float, float, float | None], ...]
    """(multiple of rating, shortest s, longest s or None)."""
    ohms_at_1a: float
    """Cold resistance times rating: drop in volts at rated current."""
    continuous_share: float
    source: str
    lost_per_k: float = 0.0
    """Share of the rating lost for each degree of the air above that of the bands."""
    breaking_a: float = 1000.0
    """Largest short-circuit current that it is sure to break."""
    how: str = "memory"
    """How the row was got: read, memory or computed."""


@dataclass(frozen=True)
class Colour:
    """One IEC 60757 colour letter code."""

    code: str
    name: str
    hex: str
    source: str


@dataclass(frozen=True)
class Sleeve:
    """Covering for a bundle; it takes bundle diameters between the two limits."""

    id: str
    title: str
    kind: str
    """braided sleeve, heat-shrink or tape"""
    smallest_mm: float
    largest_mm: float
    wall_mm: float
    rated_c: float
    source: str


@dataclass(frozen=True)
class Barrel:
    """A crimp barrel for splices; it takes a summed conductor section between the two limits."""

    id: str
    title: str
    smallest_mm2: float
    largest_mm2: float
    length_mm: float
    outside_mm: float
    source: str


@dataclass(frozen=True)
class Clamp:
    """A cushioned clamp; it takes covered bundles between the two limits."""

    id: str
    title: str
    smallest_mm: float
    largest_mm: float
    hole_mm: float
    source: str


@dataclass(frozen=True)
class Boot:
    """A moulded heat-shrink boot from a connector's shell onto its bundle.

    Each end goes on over the larger of its two diameters and closes down to the smaller.
    """

    id: str
    title: str
    shell_smallest_mm: float
    shell_largest_mm: float
    cable_smallest_mm: float
    cable_largest_mm: float
    rated_c: float
    source: str

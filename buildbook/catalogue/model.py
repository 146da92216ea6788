"""Rows of the catalogue; every row says where it comes from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Conductor:
    label: str
    """'0.5 mm2' or 'AWG 20'."""
    area_mm2: float
    ohm_per_m_20c: float
    outside_mm: float
    kg_per_m: float
    how: str
    """read, memory or computed"""


@dataclass(frozen=True)
class WireFamily:
    id: str
    title: str
    rated_c: float
    """Highest continuous conductor temperature of the insulation."""
    conductors: tuple[Conductor, ...]
    """Thinnest first."""
    source: str


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

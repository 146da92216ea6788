"""Chosen sizes and ratings, and why."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """One limit considered: the value reached, what is allowed, and the smallest that meets it."""

    name: str
    """heat, drop, fuse, terminal, author, smallest"""
    value: float
    allowed: float
    unit: str
    needs: str
    """Size or rating label that this limit alone would ask for."""
    source: str

    @property
    def met(self) -> bool:
        return self.value <= self.allowed + 1e-9


@dataclass(frozen=True)
class WireSizing:
    wire: str
    family: str
    label: str
    area_mm2: float
    current_a: float
    state: str
    drop_v: float
    conductor_c: float
    ambient_c: float
    bundle_count: int
    limits: tuple[Limit, ...]
    governing: str
    fuse: str
    """Device id of the fuse that protects it, '' where none does."""
    pinned: bool = False


@dataclass(frozen=True)
class FuseSizing:
    fuse: str
    rating_a: float
    load_a: float
    state: str
    weakest_wire: str
    weakest_a: float
    limits: tuple[Limit, ...]
    governing: str
    colour: str
    feeds: tuple[str, ...]
    """Load ids it feeds."""
    pinned: bool = False


@dataclass(frozen=True)
class Sizing:
    wires: dict[str, WireSizing]
    fuses: dict[str, FuseSizing]
    rounds: int

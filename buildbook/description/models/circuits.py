"""Circuits and the cables that hold them together."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from buildbook.description.models.base import Name, Section, Text
from buildbook.description.quantities import Size, VoltageV


class Cable(Section):
    """Circuits kept together as one cable; `screen` names the circuit of its drain."""

    type: Literal["twisted pair", "shielded 1", "shielded 2", "shielded 3"]
    cores: list[Name]
    screen: Name | None = None


class Circuit(Section):
    """Pins that share a potential."""

    join: list[Name]
    system: Name | None = None
    about: Text = ""
    critical: bool = False
    signal: bool = False
    """Carries information, not power: no drop limit as a load's."""
    size: Size | None = None
    family: Name | None = None
    colour: Annotated[str, Field(pattern=r"^[A-Z]{2}(/[A-Z]{2})?$")] | None = None
    status: Literal["in use", "spare", "future"] = "in use"
    capped_at: Name | None = None
    """Point where a spare or screen ends, insulated, with nothing on it."""
    splice_at: Name | None = None
    harness: Name | None = None
    drop: VoltageV | None = None

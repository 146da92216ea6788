"""Circuits and the cables that hold them together."""

from __future__ import annotations

from typing import Literal

from buildbook.description.amounts import VoltageV
from buildbook.description.models.base import Colour, Name, Section, Text
from buildbook.description.models.wire_sizes import WireSizes


class Cable(Section):
    """Circuits kept together as one cable; `screen` names the circuit of its drain."""

    type: Literal["twisted pair", "shielded 1", "shielded 2", "shielded 3"]
    cores: list[Name]
    screen: Name | None = None


class Circuit(WireSizes):
    """Pins that share a potential."""

    join: list[Name]
    system: Name | None = None
    about: Text = ""
    critical: bool = False
    signal: bool = False
    """Carries information, not power: no drop limit as a load's."""
    family: Name | None = None
    colour: Colour | None = None
    status: Literal["in use", "spare", "future"] = "in use"
    capped_at: Name | None = None
    """Point where a spare or screen ends, insulated, with nothing on it."""
    splice_at: Name | None = None
    harness: Name | None = None
    wires: dict[Name, WireSizes] = {}
    """Sizes of single wires, each named by a pin of the circuit that it ends at."""
    drop: VoltageV | None = None

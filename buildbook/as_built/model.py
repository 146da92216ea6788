"""The language of `as-built.yaml`: circuits, splices and wires with their labels, as built."""

from __future__ import annotations

import datetime

from pydantic import Field

from buildbook.description.amounts import ConductorSize, PlaceM, WireM
from buildbook.description.models import Name, Section

CAP = "cap"
"""What an insulated end is called."""
SAME_M = 0.0006
"""Lengths that are not told apart: whole millimetres are written, so half of one."""


class BuiltWire(Section):
    """One wire with its label, as it lies in the harness."""

    harness: Name
    from_: Name
    to: Name
    """A pin, one half of a pass-through contact, a splice, or `cap`."""
    family: Name
    size: ConductorSize
    length: WireM


class BuiltSplice(Section):
    harness: Name
    at: Name
    run: Name | None = None
    """Run along which it lies off its point."""
    offset: PlaceM = 0.0


class BuiltCircuit(Section):
    number: int = Field(ge=1, le=1_000_000)
    colour: Name
    pins: dict[Name, list[Name]] = {}
    """Pass-through -> its contacts that carry the circuit."""
    splices: dict[Name, BuiltSplice] = {}
    wires: dict[Name, BuiltWire]


class AsBuilt(Section):
    """What the harnesses were built with; later runs keep it."""

    revision: Name
    date: datetime.date | None = None
    """Of the revision that was built."""
    circuits: dict[Name, BuiltCircuit]

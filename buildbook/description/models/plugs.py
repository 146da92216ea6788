"""Connector types."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

from buildbook.description.amounts import SmallM, TemperatureC
from buildbook.description.models.base import Name, Section, Text, as_text


class Plug(Section):
    """A connector type: its cavities as seen from the wire side, of a pass-through on its half
    with the sockets. The half with the pins is drawn as the mirror image."""

    about: Text = ""
    contact: Name
    rows: list[list[Annotated[str, BeforeValidator(as_text)] | None]] = []
    """Rows of cavities, top first, left to right, seen from the wire side; null is a gap."""
    rings: list[list[Annotated[str, BeforeValidator(as_text)]]] = []
    """Rings of a circular shell, innermost first, clockwise from the keyway, wire side."""
    staggered: bool = False
    keyway: Literal["top", "bottom", "left", "right"] = "top"
    latch: Literal["top", "bottom", "left", "right"] | None = None
    """Side of the tab that holds it in its mate, as seen from the wire side."""
    sealed: bool = False
    temperature: TemperatureC = 105.0
    hole: SmallM | None = None
    """Hole that its fixed half needs in a panel."""
    shell: SmallM | None = None
    """Diameter of the back of the shell, where a boot grips."""
    takes: list[Literal["lock", "backshell"]] = []
    """What is bought beside the housing: a lock for its contacts, a backshell."""
    contacts: dict[Name, Name] = {}
    """Contact family of single cavities that differ from `contact`."""

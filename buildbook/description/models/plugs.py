"""Connector types."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

from buildbook.description.amounts import SmallM, TemperatureC
from buildbook.description.models.base import Alike, Name, Text, as_text


class Plug(Alike):
    """A connector type: its cavities as seen from the wire side, of a pass-through on its half
    with the sockets. The half with the pins is drawn as the mirror image."""

    about: Text = ""
    """What it is."""
    contact: Name
    """Family of its contacts; `buildbook explain contacts` lists them."""
    rows: list[list[Annotated[str, BeforeValidator(as_text)] | None]] = []
    """Rows of cavities, top first, left to right, seen from the wire side; null is a gap.
    `A1 to A4` is four, here as in `rings` and `contacts`."""
    rings: list[list[Annotated[str, BeforeValidator(as_text)]]] = []
    """Rings of a circular shell, innermost first, clockwise from the keyway, wire side."""
    staggered: bool = False
    """Every second row stands half a cavity aside."""
    keyway: Literal["top", "bottom", "left", "right"] = "top"
    """Side of the key that stops it from being turned, as seen from the wire side."""
    latch: Literal["top", "bottom", "left", "right"] | None = None
    """Side of the tab that holds it in its mate, as seen from the wire side."""
    sealed: bool = False
    """Its wires have seals, and empty cavities blanks."""
    temperature: TemperatureC = 105.0
    """That it stands for ever."""
    hole: SmallM | None = None
    """Hole that its fixed half needs in a panel."""
    shell: SmallM | None = None
    """Diameter of the back of the shell, where a boot grips."""
    takes: list[Literal["lock", "backshell"]] = []
    """What is bought beside the housing: a lock for its contacts, a backshell."""
    contacts: dict[Name, Name] = {}
    """Contact family of single cavities that differ from `contact`."""

"""Circuits and the cables that hold them together."""

from __future__ import annotations

from typing import Literal

from buildbook.description.amounts import RunLengthM, VoltageV
from buildbook.description.models.base import Alike, Colour, Name, Text
from buildbook.description.models.wire_sizes import WireSizes


class Cable(Alike):
    """Circuits kept together as one cable; `screen` names the circuit of its drain."""

    type: Literal["twisted pair", "shielded 1", "shielded 2", "shielded 3"]
    """What it is."""
    cores: list[Name]
    """Circuits inside it."""
    screen: Name | None = None
    """Circuit of its drain wire."""


class Lead(WireSizes):
    """What the author says of wires: how thick, and how far those go that lie along no rope."""

    way: RunLengthM | None = None
    """Between two things at one place, measured with a string; without it, it is an estimate."""


class Circuit(Alike, Lead):
    """Pins that share a potential."""

    join: list[Name]
    """Pins as `DEVICE.PIN`; a device that has one alone; `*` for all that fit (`coil-*.1`); or what
    a pin is for in place of it (`ecu.injector 1`)."""
    system: Name | None = None
    """Chapter that it belongs to, and by which it is numbered; left out, that of the first device
    in `join` that has one, fuses, relays, panels, grounds, controllers and batteries last; where
    none has one, the first of `systems`."""
    about: Text = ""
    """Why it is there."""
    critical: bool = False
    """As of a device: its drop is smaller."""
    signal: bool = False
    """Carries information, not power: no drop limit as a load's."""
    family: Name | None = None
    """Family of its wire; `buildbook explain families` lists them."""
    colour: Colour | None = None
    """Of its wires, by IEC 60757."""
    status: Literal["in use", "spare", "future"] = "in use"
    """`spare` and `future` wires end capped."""
    capped_at: Name | None = None
    """Point where a spare or screen ends, insulated, with nothing on it."""
    splice_at: Name | None = None
    """Point where its splice goes; left out, where it costs least copper."""
    harness: Name | None = None
    """Harness that it runs in, where several would do; left out, that of the shortest way, a
    pass-through counted as half a metre. `buildbook show` tells of a circuit what would do."""
    wires: dict[Name, Lead] = {}
    """Sizes and ways of single wires, each named by a pin of the circuit that it ends at."""
    drop: VoltageV | None = None
    """Volts that its load may lose, feed and return together, in place of the vehicle's share."""
    on_purpose: dict[Name, Text] = {}
    """Rule -> why what it finds here, or at a wire of it, is meant so: it is waived, and told once
    it is not found any more. {fuse-shared: both horns sound together}."""

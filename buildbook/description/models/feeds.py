"""Feeds: what a bus, a fuse and a relay do for a load, in one line."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from buildbook.description.amounts import CurrentA, VoltageV
from buildbook.description.models.base import Alike, Colour, Name, Names, Text, as_list
from buildbook.description.models.wire_sizes import WireSizes


class Feed(Alike, WireSizes):
    """A fuse, a relay where it has one, the jumper between them, and the circuits of both; what
    `devices` and `circuits` say of one that is made so goes before it."""

    fuse: Name
    """Name of the fuse that is made: F4. Its number is its slot where `slot` says no other."""
    on: Name | None = None
    """Panel that carries fuse and relay; may be left out where there is one."""
    bus: Name | None = None
    """Stud of the panel whose bus bar feeds the fuse."""
    slot: int | None = Field(default=None, ge=0, le=10_000)
    """Of the fuse."""
    type: Literal["blade", "mini", "maxi", "cartridge", "bolted-30", "bolted"] | None = None
    """Family of the fuse, as `fuse` of a device."""
    rating: CurrentA | None = None
    """Of the fuse, where it is not to be chosen."""
    name: Text | None = None
    """What the fuse is called; default the feed's name."""
    relay: Name | None = None
    """Name of the relay that is made: K3, of the kind `panel relay`."""
    relay_name: Text | None = None
    """What the relay is called; default what the fuse is called and `relay`."""
    n86: Annotated[Names, BeforeValidator(as_list), Field(alias="86")] = []
    """What feeds the coil: a pin that switches it, a fuse whose feed it hangs on, or `30`, the
    relay's own feed."""
    n85: Annotated[Names, BeforeValidator(as_list), Field(alias="85")] = []
    """Where the coil's other end goes: a pin that switches it, or a ground point."""
    to: Annotated[Names, BeforeValidator(as_list)] = []
    """What is fed: pins, or devices that have a pin for their feed."""
    ground: Name | None = None
    """Ground point that all of them are returned to, by the pin that each has for that."""
    circuit: Name | None = None
    """Name of the circuit to the load; default that of the feed and `feed`."""
    system: Name | None = None
    """Of fuse, relay and circuits."""
    critical: bool = False
    """Of relay and circuits, as in `devices`."""
    about: Text = ""
    """Of the circuit to the load, as in `circuits`; so are those below."""
    signal: bool = False
    """As in `circuits`."""
    family: Name | None = None
    """As in `circuits`."""
    colour: Colour | None = None
    """As in `circuits`."""
    drop: VoltageV | None = None
    """As in `circuits`."""
    harness: Name | None = None
    """As in `circuits`; jumpers on the panel go into the harness with most ropes there."""
    splice_at: Name | None = None
    """As in `circuits`."""
    status: Literal["in use", "spare", "future"] = "in use"
    """As in `circuits`: `spare` and `future` feed nothing yet."""
    capped_at: Name | None = None
    """As in `circuits`."""
    wires: dict[Name, WireSizes] = {}
    """As in `circuits`."""

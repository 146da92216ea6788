"""What opens by itself when too much flows: fuses, and outputs that switch themselves off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from buildbook.catalogue.load import fuse_families
from buildbook.catalogue.model import FuseFamily
from buildbook.vehicle.model import Contact, Device, Vehicle

WRITTEN = "written"
"""How the row of an output's family was got: from the description."""
JUST_BELOW = 1 - 1e-9
ANY_MULTIPLE = 1000.0
"""Of its limit: to there the last time that is written holds."""


@dataclass(frozen=True)
class Opener:
    """A fuse, by its device's id, or an output that trips, by its contact's."""

    id: str
    device: str
    branches: tuple[str, ...]
    """Ids of those that open."""
    ends: tuple[tuple[str, str], ...]
    """Pins of each: where it is fed, and what it protects."""
    switches: bool = False
    """Whether it is an output, which switches what it protects."""


def openers(vehicle: Vehicle) -> dict[str, Opener]:
    """Every fuse, and then every output that trips."""
    fuses = (_fuse(device) for device in vehicle.all_of("fuse"))
    outputs = (_output(contact) for contact in tripping(vehicle).values())
    return {opener.id: opener for opener in (*fuses, *outputs)}


def opener_called(vehicle: Vehicle, name: str) -> Opener:
    """A fuse by its device's id, an output by its contact's."""
    fuse = vehicle.devices.get(name)
    return _fuse(fuse) if fuse else _output(_contact(vehicle, name))


def _fuse(device: Device) -> Opener:
    links = [bond for bond in device.bonds if bond.kind == "fuse"]
    return Opener(
        device.id,
        device.id,
        tuple(f"fuse:{bond.id}" for bond in links),
        tuple((bond.from_pin, bond.to_pin) for bond in links),
    )


def _output(contact: Contact) -> Opener:
    ends = (contact.to_pin, contact.from_pin)
    return Opener(contact.id, contact.device, (f"contact:{contact.id}",), (ends,), switches=True)


def _contact(vehicle: Vehicle, name: str) -> Contact:
    device = vehicle.devices[name.rpartition(".")[0]]
    return next(contact for contact in device.contacts if contact.id == name)


def opener_of_branch(vehicle: Vehicle) -> dict[str, str]:
    """Branch id -> id of the fuse or output that opens there."""
    return {b: opener.id for opener in openers(vehicle).values() for b in opener.branches}


def tripping(vehicle: Vehicle) -> Mapping[str, Contact]:
    """Outputs that switch themselves off, by contact id."""
    return {c.id: c for d in vehicle.devices.values() for c in d.contacts if c.trips}


def family_of(vehicle: Vehicle, opener: str) -> FuseFamily:
    """The catalogue's family of a fuse device; of an output the family that it is alone in."""
    if opener in vehicle.devices:
        return fuse_families()[vehicle.devices[opener].written.fuse]
    return _family_of_output(_contact(vehicle, opener))


@lru_cache(maxsize=1000)
def _family_of_output(output: Contact) -> FuseFamily:
    """An output as the fuse that it stands in for, rated for its limit, which it carries for ever.

    From each written current on it takes the time written there, up to the next one; between its
    limit and the first it may hold for ever, or trip as soon as there. After a trip it breaks
    any current, as nothing about it burns.
    """
    limit_a = output.limit_a or 0.0
    first_s = output.trips[0][1]
    bands: list[tuple[float, float, float | None]] = [(1.0, first_s, None)]
    before_s = first_s
    for amps, seconds in output.trips:
        multiple = amps / limit_a
        if seconds != before_s:
            bands.append((multiple * JUST_BELOW, before_s, before_s))
        bands.append((multiple, seconds, seconds))
        before_s = seconds
    bands.append((ANY_MULTIPLE, before_s, before_s))
    return FuseFamily(
        id=f"{limit_a:g} A output, {output.trips}",
        title=f"{limit_a:g} A output",
        ratings_a=(limit_a,),
        colours={},
        bands=tuple(bands),
        ohms_at_1a=output.ohms * limit_a,
        continuous_share=1.0,
        source="the output's data sheet, as this description has it",
        breaking_a=float("inf"),
        how=WRITTEN,
    )

"""The branches of one device while they are gathered, and what is known of it meanwhile."""

from __future__ import annotations

from dataclasses import dataclass, field

from buildbook.description import models as written
from buildbook.vehicle.model import Bond, Contact, Load, Pin, Source
from buildbook.vehicle.scope import Path, Scope

BUS_OHM = 0.0005
"""Of a bar or track that joins pins inside a device."""


@dataclass
class Branches:
    """The branches of one device while they are gathered; ids stay unique."""

    loads: list[Load] = field(default_factory=list)
    contacts: list[Contact] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    bonds: list[Bond] = field(default_factory=list)
    taken: dict[str, set[str]] = field(default_factory=dict)

    def name(self, sort: str, wanted: str) -> str:
        """`wanted`, or with -2, -3, … where it is taken."""
        used = self.taken.setdefault(sort, set())
        number, name = 1, wanted
        while name in used:
            number += 1
            name = f"{wanted}-{number}"
        used.add(name)
        return name


@dataclass(frozen=True)
class DeviceScope:
    """One device while it is joined: its description, place and pins by name."""

    scope: Scope
    id: str
    device: written.Device
    pins: dict[str, Pin]

    @property
    def path(self) -> Path:
        return ("devices", self.id)

    @property
    def nominal_v(self) -> float:
        return self.scope.description.vehicle.nominal

    def pin(self, name: str, *path: str | int) -> str | None:
        """The id of an own pin, or a problem and None."""
        if name not in self.pins and self.scope.is_told(self.id, name):
            return None
        sort, uses = f"pin of `{self.id}`", [pin.use for pin in self.pins.values() if pin.use]
        if not self.scope.known((*self.path, *path), sort, name, self.pins, uses):
            return None
        if self.pins[name].unused:
            self.scope.say(
                (*self.path, *path),
                f"pin `{name}` of `{self.id}` is listed as unused, but is used here",
                "",
                f"take `{name}` out of `unused`",
            )
        return self.pins[name].id

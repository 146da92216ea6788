"""What every step of the joining shares: what was read, the catalogue and the problems so far."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from buildbook.as_built.model import AsBuilt
from buildbook.catalogue.load import contact_families, wire_families
from buildbook.catalogue.model import ContactFamily, WireFamily
from buildbook.description.models import Description, When
from buildbook.description.read import FolderContents, Positions
from buildbook.description.suggest import did_you_mean
from buildbook.problem import Problem, Where
from buildbook.vehicle.model import Pin

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Scope:
    """Collects problems while the vehicle is joined; made anew for each vehicle."""

    contents: FolderContents
    as_built: AsBuilt | None = None
    contacts: dict[str, ContactFamily] = field(default_factory=contact_families)
    wires: dict[str, WireFamily] = field(default_factory=lambda: dict(wire_families()))
    """The catalogue's families, and the author's once they are added."""
    problems: list[Problem] = field(default_factory=list)

    @property
    def description(self) -> Description:
        return self.contents.description

    @cached_property
    def _circuits_at(self) -> dict[str, list[str]]:
        """Pin -> the pins that circuits join with it, as they are written."""
        found: dict[str, list[str]] = {}
        for circuit in self.description.circuits.values():
            for pin in circuit.join:
                found.setdefault(pin, []).extend(other for other in circuit.join if other != pin)
        return found

    def joined_with(self, pin: str) -> list[str]:
        """The pins that circuits join with one, as they are written."""
        return self._circuits_at.get(pin, [])

    @property
    def positions(self) -> Positions:
        return self.contents.positions

    def where(self, path: Path) -> Where:
        """Place of the value where it is one word, of the key where it is an entry."""
        return self.positions.spot(*path)

    def say(
        self,
        path: Path,
        what: str,
        why: str = "",
        hint: str = "",
        mends: tuple[tuple[str, tuple[Any, ...]], ...] = (),
    ) -> None:
        """Note a problem at a place of the description."""
        self.problems.append(Problem(self.where(path), what, why, hint, mends))

    def known(
        self,
        path: Path,
        sort: str,
        name: str | None,
        choices: Collection[str],
        also: Iterable[str] = (),
    ) -> bool:
        """Whether `name` is among `choices`; if not, a problem is noted.

        `also` is what may be written in place of one of them, and was probably meant.
        """
        if name is None:
            return False
        if name in choices:
            return True
        noun, rest = sort, ""
        if "`" in sort:  # "pin of `panel`": the name goes before the place
            noun, _, rest = sort.partition(" ")
        what = f"no {noun} `{name}` {rest}".rstrip()
        hint = (
            did_you_mean(name, [*choices, *also], choices)
            or "there is none: write one of that name, or take it out"
        )
        self.say(path, what, "", hint)
        return False

    def states(self, when: When, path: Path) -> frozenset[str]:
        """The states that a `When` names."""
        every = self.description.states
        named = list(when.states or []) + list(when.except_)
        for index, name in enumerate(named):
            for spot in ((*path, "states", index), (*path, index)):
                if self.positions.value(*spot) != self.positions.value(*path):
                    break
            self.known(spot, "operating state", name, every)
        chosen: Iterable[str] = every if when.states is None else when.states
        return frozenset(name for name in chosen if name in every and name not in when.except_)

    def pin(self, path: Path, reference: str, pins: dict[str, Pin]) -> Pin | None:
        """The pin that `device.pin`, its use, or a device with one pin names; else a problem."""
        if reference in pins:
            return pins[reference]
        device, dot, name = reference.partition(".")
        devices = self.description.devices
        while dot and device not in devices and "." in name:
            more, _, name = name.partition(".")
            device = f"{device}.{more}"
        if reference in devices:
            device, name = reference, ""
        if not self.known(path, "device", device, devices):
            return None
        if devices[device].kind == "pass-through":
            self.say(
                path,
                f"`{device}` is a pass-through; circuits do not name its pins",
                "the program gives a circuit a pin there when its path crosses",
                f"take `{reference}` out, or fix the cavity with `carries` of `{device}`",
            )
            return None
        own = {pin.name: pin for pin in pins.values() if pin.device == device}
        if not own:  # the device's own problem, told at its plug or pins
            return None
        if not name and len(own) == 1:
            return next(iter(own.values()))
        if not name:
            self.say(
                path,
                f"`{device}` has {len(own)} pins; say which one",
                "",
                f"write `{device}.` and one of: " + ", ".join(list(own)[:12]),
            )
            return None
        if meant := next((pin for pin in own.values() if pin.use == name), None):
            return meant
        if not self.is_told(device, name):
            uses = [pin.use for pin in own.values() if pin.use]
            self.say(
                path, f"`{device}` has no pin `{name}`", "", did_you_mean(name, [*own, *uses], own)
            )
        return None

    def is_told(self, device: str, name: str) -> bool:
        """Whether a pin is written at a device with a plug: what the plug lacks is told there."""
        written = self.description.devices[device]
        return name in written.pins and bool(written.plug or written.plugs)

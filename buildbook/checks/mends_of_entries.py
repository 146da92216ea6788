"""One change to an entry: a bus that a fuse stands on, states of a contact, states of a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.checks.meant import Meant, Wrong
from buildbook.checks.naming import quoted
from buildbook.checks.standing import Mended
from buildbook.vehicle.model import Contact, Vehicle


@dataclass(frozen=True)
class Mend:
    """One change, in words, and what it makes of the wiring."""

    says: str
    """'exchange coil-1.2 and coil-2.2'."""
    wrong: str
    """What that makes of what is written: 'coil-1.2 and coil-2.2 are exchanged'."""
    pins: tuple[str, ...]
    """Pins, fuses, contacts or sources that it changes, the first the most telling."""
    mended: Mended
    rank: int
    """The likelier kinds of slips first."""


def said(meant: Meant, wrong: list[Wrong]) -> Iterator[Mend]:
    """What is written of a load's states is wrong, and all the rest right."""
    by_load: dict[str, set[str]] = {}
    for found in wrong:
        if found.state:
            by_load.setdefault(found.load, set()).add(found.state)
    loads = {load.id: load for d in meant.vehicle.devices.values() for load in d.loads}
    for name, states in by_load.items():
        load = loads[name]
        yield Mend(
            f"write of {name} that it works in these states too (`in`)"
            if not states & load.states
            else f"correct the states of {name} (`in`)",
            f"`in` of {name} does not name the states in which it works",
            (load.from_pin, name),
            Mended(said={name: load.states ^ frozenset(states)}),
            5,
        )


def buses(vehicle: Vehicle) -> Iterator[Mend]:
    """A fuse that stands on another bus bar of its panel."""
    for fuse in vehicle.all_of("fuse"):
        panel = vehicle.devices.get(fuse.panel)
        for bond in fuse.bonds if panel else ():
            if bond.kind != "bus":
                continue
            assert panel is not None
            for pin in panel.pins:
                if pin.id != bond.from_pin:
                    yield Mend(
                        f"put fuse {fuse.id} on bus {pin.name}",
                        f"fuse {fuse.id} stands on bus {bond.from_pin.partition('.')[2]} and "
                        f"belongs on {pin.name}",
                        (fuse.id, f"{fuse.id}.out"),
                        Mended(buses={bond.id: pin.id}),
                        0,
                    )


def contacts(meant: Meant, near: list[str], wrong: list[Wrong]) -> Iterator[Mend]:
    """A contact that is closed where it should be open, in the states where something is wrong."""
    vehicle = meant.vehicle
    devices = dict.fromkeys(vehicle.pins[p].device for p in near if p in vehicle.pins)
    dead = frozenset(w.state for w in wrong if w.dead and w.state)
    runs = frozenset(w.state for w in wrong if not w.dead and w.state)
    for device in devices:
        for contact in vehicle.devices[device].contacts:
            if contact.kind not in ("switch", "driver"):
                continue
            for states in dict.fromkeys(
                (
                    contact.states | dead,
                    contact.states - runs,
                    (contact.states | dead) - runs,
                    contact.states - dead,
                    contact.states | runs,
                )
            ):
                if states != contact.states:
                    yield _closed_in(vehicle, contact, states)


def _closed_in(vehicle: Vehicle, contact: Contact, states: frozenset[str]) -> Mend:
    more = [s for s in vehicle.states if s in states - contact.states]
    less = [s for s in vehicle.states if s in contact.states - states]
    key = "on" if contact.kind == "driver" else "closed"
    does = [f"let {contact.id} be closed in {quoted(more)}"] if more else []
    does += [f"open in {quoted(less)}"] if less else []
    says = " and ".join(does) if more else f"let {contact.id} be {does[0]}"
    is_so = [f"open in {quoted(more)}"] if more else []
    is_so += [f"closed in {quoted(less)}"] if less else []
    return Mend(
        f"{says} (`{key}`)",
        f"{contact.id} is {' and '.join(is_so)}",
        (contact.id, contact.from_pin),
        Mended(closed={contact.id: states}),
        2,
    )

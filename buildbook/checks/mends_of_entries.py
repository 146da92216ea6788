"""One change to an entry: a bus that a fuse stands on, states of a contact, states of a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.checks.meant import Meant, Wrong
from buildbook.checks.naming import quoted
from buildbook.checks.standing import Mended
from buildbook.vehicle.model import Contact, Vehicle
from buildbook.words.say import say


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
            say("write of {load} that it works in these states too (`in`)", load=name)
            if not states & load.states
            else say("correct the states of {load} (`in`)", load=name),
            say("`in` of {load} does not name the states in which it works", load=name),
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
                        say("put fuse {fuse} on bus {bus}", fuse=fuse.id, bus=pin.name),
                        say(
                            "fuse {fuse} stands on bus {bus} and belongs on {other}",
                            fuse=fuse.id,
                            bus=bond.from_pin.partition(".")[2],
                            other=pin.name,
                        ),
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
    names = {"contact": contact.id, "more": quoted(more), "less": quoted(less)}
    names["key"] = "on" if contact.kind == "driver" else "closed"
    if more and less:
        says = say("let {contact} be closed in {more} and open in {less} (`{key}`)", **names)
        is_so = say("{contact} is open in {more} and closed in {less}", **names)
    elif more:
        says = say("let {contact} be closed in {more} (`{key}`)", **names)
        is_so = say("{contact} is open in {more}", **names)
    else:
        says = say("let {contact} be open in {less} (`{key}`)", **names)
        is_so = say("{contact} is closed in {less}", **names)
    return Mend(
        says,
        is_so,
        (contact.id, contact.from_pin),
        Mended(closed={contact.id: states}),
        2,
    )

"""What is inside a device electrically: loads, contacts, sources and bonds between its pins."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from buildbook.description import models as written
from buildbook.description.quantities import parse
from buildbook.vehicle.model import Bond, Contact, Load, Pin, Source
from buildbook.vehicle.scope import Path, Scope

WORKS_FROM_SHARE = 0.75
"""A load is taken to work from 9 V of 12 V: ISO 16750-2 supply code C (from memory)."""
FUSE_DROP_V = 0.1
"""Drop of a blade fuse at its rated current, of the order ISO 8820-3 allows (from memory)."""
UNRATED_FUSE_OHM = 0.005
GROUND_JOINT_OHM = 0.002
BUS_OHM = 0.0005
DRIVER_OHM = 0.05
"""On-resistance of a controller's output stage (from memory)."""


@dataclass
class Inside:
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
class Bench:
    """One device on the bench: its description, place and pins by name."""

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
        if not self.scope.known((*self.path, *path), f"pin of `{self.id}`", name, self.pins):
            return None
        if self.pins[name].unused:
            self.scope.say(
                (*self.path, *path),
                f"pin `{name}` of `{self.id}` is listed as unused, but is used here",
                "",
                f"take `{name}` out of `unused`",
            )
        return self.pins[name].id


def inside_of(scope: Scope, device_id: str, pins: tuple[Pin, ...]) -> Inside:
    """Everything between the pins of one device."""
    bench = Bench(scope, device_id, scope.description.devices[device_id], {p.name: p for p in pins})
    found = Inside()
    if not pins:  # told at its plug or pins
        return found
    _add_draws(bench, found)
    _add_switch_contacts(bench, found)
    if bench.device.kind == "relay":
        _add_relay(bench, found)
    if bench.device.kind == "fuse":
        _add_fuse(bench, found)
    if bench.device.kind == "ground":
        _add_ground(bench, found)
    _add_controller(bench, found)
    for index, reading in enumerate(bench.device.readings):
        bench.pin(reading.pin, "readings", index, "pin")
    return found


def _add_draws(bench: Bench, found: Inside) -> None:
    draws = bench.device.draws
    has_coil = bench.device.kind == "relay"
    for index, draw in enumerate(draws):
        at = ("draws", index)
        ends = _ends(bench, draw, at)
        ohms, amps = _ohms(bench, draw, at)
        inrush_a, inrush_s = _inrush(bench, draw, at)
        states = bench.scope.states(draw.in_, (*bench.path, *at, "in"))
        if ends is None or ohms is None:
            continue
        single = len(draws) == 1 and not has_coil
        works_from = draw.works_from
        found.loads.append(
            Load(
                id=found.name("load", bench.id if single else ends[0]),
                device=bench.id,
                from_pin=ends[0],
                to_pin=ends[1],
                ohms=ohms,
                duty=draw.duty,
                states=states,
                works_from_v=WORKS_FROM_SHARE * bench.nominal_v
                if works_from is None
                else works_from,
                inrush_a=inrush_a,
                inrush_s=inrush_s,
                what=draw.what,
                critical=bench.device.critical,
                rated_a=amps,
                frequency_hz=draw.frequency,
            )
        )


def _ends(bench: Bench, draw: written.Draw, at: Path) -> tuple[str, str] | None:
    power = bench.device.power
    usable = [pin.name for pin in bench.pins.values() if not pin.unused]
    first, second = draw.from_, draw.to
    if power:
        first, second = first or power.feeds[0], second or power.grounds[0]
    elif first is None or second is None:
        if len(usable) != 2:
            bench.scope.say(
                (*bench.path, *at),
                f"`{bench.id}` has {len(usable)} pins; the draw does not say between which two",
                "",
                "give `from` and `to`",
            )
            return None
        first = first or next(name for name in usable if name != second)
        second = second or next(name for name in usable if name != first)
    one, other = bench.pin(first, *at, "from"), bench.pin(second, *at, "to")
    if one is not None and one == other:
        bench.scope.say((*bench.path, *at), f"the draw of `{bench.id}` starts and ends at {one}")
        return None
    return (one, other) if one and other else None


def _ohms(bench: Bench, draw: written.Draw, at: Path) -> tuple[float | None, float]:
    """Ohms while on, and the current at the stated voltage."""
    path, volts = (*bench.path, *at), draw.at or bench.nominal_v
    given = draw.amps if draw.amps is not None else draw.ohms
    if given is None:
        bench.scope.say(
            path,
            f"a draw of `{bench.id}` has neither `amps` nor `ohms`",
            "its current cannot be worked out",
            "give one of the two",
        )
        return None, 0.0
    if draw.amps is not None and draw.ohms is not None:
        bench.scope.say(
            (*path, "ohms"), f"a draw of `{bench.id}` has both `amps` and `ohms`", "", "keep one"
        )
        return None, 0.0
    if given <= 0:
        key = "amps" if draw.amps is not None else "ohms"
        bench.scope.say((*path, key), f"`{key}` of `{bench.id}` must be above zero")
        return None, 0.0
    if not 0 < draw.duty <= 1:
        bench.scope.say(
            (*path, "duty"), f"`duty` of `{bench.id}` must be above 0 and not above 100 %"
        )
        return None, 0.0
    if draw.amps is not None:
        return volts / draw.amps, draw.amps
    return given, volts / given


def _inrush(bench: Bench, draw: written.Draw, at: Path) -> tuple[float, float]:
    if draw.inrush is None:
        return 0.0, 0.0
    match = re.fullmatch(r"(.+?)\s+for\s+(.+)", draw.inrush.strip())
    try:
        if match:
            return parse(match[1], "A"), parse(match[2], "s")
        said = "is not written as a current and a time"
    except ValueError as error:
        said = str(error).partition(";")[0]
    bench.scope.say(
        (*bench.path, *at, "inrush"),
        f"`inrush` of `{bench.id}`: '{draw.inrush}' {said}"
        if match is None
        else f"`inrush` of `{bench.id}`: {said}",
        "",
        "write for example 24 A for 150 ms",
    )
    return 0.0, 0.0


def _add_switch_contacts(bench: Bench, found: Inside) -> None:
    for index, contact in enumerate(bench.device.contacts):
        at = ("contacts", index)
        one, other = bench.pin(contact.from_, *at, "from"), bench.pin(contact.to, *at, "to")
        states = bench.scope.states(contact.closed, (*bench.path, *at, "closed"))
        if not (one and other):
            continue
        if one == other:
            bench.scope.say((*bench.path, *at), f"a contact of `{bench.id}` joins {one} to itself")
            continue
        found.contacts.append(
            Contact(
                id=found.name("contact", f"{bench.id}.{contact.from_}-{contact.to}"),
                device=bench.id,
                from_pin=one,
                to_pin=other,
                states=states,
                limit_a=contact.limit,
                position=contact.position,
            )
        )


def _add_relay(bench: Bench, found: Inside) -> None:
    """Coil 86-85 and contacts 30-87, 30-87a (DIN 72552)."""
    coil = bench.device.coil or written.Coil()
    missing = [name for name in ("30", "85", "86") if name not in bench.pins]
    if "87" not in bench.pins and "87a" not in bench.pins:
        missing.append("87")
    for name in missing:
        bench.scope.say(
            bench.path,
            f"relay `{bench.id}` has no pin `{name}`",
            "relay terminals are named by DIN 72552: coil 86 and 85, contact 30 to 87",
            f"name the cavities of its plug so, with `{name}` among them",
        )
    if missing:
        return
    if coil.ohms <= 0:
        bench.scope.say((*bench.path, "coil", "ohms"), "`ohms` of a coil must be above zero")
        return
    every = frozenset(bench.scope.description.states)
    pulls_in_v = coil.pulls_in * bench.nominal_v
    plus, minus = bench.pins["86"].id, bench.pins["85"].id
    found.loads.append(
        Load(
            id=found.name("load", f"{bench.id}.coil"),
            device=bench.id,
            from_pin=plus,
            to_pin=minus,
            ohms=coil.ohms,
            duty=1.0,
            states=every,
            works_from_v=pulls_in_v,
            what="relay pulls in",
            critical=bench.device.critical,
            rated_a=bench.nominal_v / coil.ohms,
        )
    )
    for name in ("87", "87a"):
        if name in bench.pins and not bench.pins[name].unused:
            found.contacts.append(
                Contact(
                    id=found.name("contact", f"{bench.id}.30-{name}"),
                    device=bench.id,
                    from_pin=bench.pins["30"].id,
                    to_pin=bench.pins[name].id,
                    states=every,
                    control=(plus, minus),
                    control_v=pulls_in_v,
                    inverted=name == "87a",
                    limit_a=bench.device.rating,
                    kind="relay",
                )
            )


def _add_fuse(bench: Bench, found: Inside) -> None:
    device = bench.device
    if "in" not in bench.pins or "out" not in bench.pins:
        bench.scope.say(bench.path, f"fuse `{bench.id}` needs pins `in` and `out`")
        return
    if device.rating is not None and device.rating <= 0:
        bench.scope.say((*bench.path, "rating"), f"`rating` of `{bench.id}` must be above zero")
        return
    into, out = bench.pins["in"].id, bench.pins["out"].id
    ohms = FUSE_DROP_V / device.rating if device.rating else UNRATED_FUSE_OHM
    found.bonds.append(Bond(bench.id, bench.id, into, out, ohms, "fuse"))
    if device.bus is None:
        return
    panel = bench.scope.description.devices.get(device.on or "")
    if panel is None or panel.kind != "panel":
        if device.on is None:
            bench.scope.say(
                (*bench.path, "bus"),
                f"fuse `{bench.id}` has a `bus` but is on no panel",
                "",
                "give `on`, the panel that carries it",
            )
        return
    if bench.scope.known((*bench.path, "bus"), f"pin of `{device.on}`", device.bus, panel.pins):
        bus = f"{device.on}.{device.bus}"
        found.bonds.append(Bond(f"{bench.id}.bus", bench.id, bus, into, BUS_OHM, "bus"))


def _add_ground(bench: Bench, found: Inside) -> None:
    joint = bench.device.joint
    if joint is not None and joint <= 0:
        bench.scope.say((*bench.path, "joint"), f"`joint` of `{bench.id}` must be above zero")
        return
    for index, pin in enumerate(bench.pins.values()):
        name = bench.id if index == 0 else pin.id
        ohms = GROUND_JOINT_OHM if joint is None else joint
        found.bonds.append(Bond(name, bench.id, pin.id, "chassis", ohms, "ground"))


def _add_controller(bench: Bench, found: Inside) -> None:
    device, power = bench.device, bench.device.power
    if power is None:
        for section in ("drivers", "inputs", "sources"):
            if getattr(device, section):
                bench.scope.say(
                    (*bench.path, section),
                    f"`{bench.id}` has `{section}` but no `power`",
                    "they work only while it is fed",
                    "give `power: {feeds: …, grounds: …}`",
                )
        return
    feeds = [bench.pin(name, "power", "feeds", i) for i, name in enumerate(power.feeds)]
    grounds = [bench.pin(name, "power", "grounds", i) for i, name in enumerate(power.grounds)]
    if not feeds or not grounds:
        bench.scope.say((*bench.path, "power"), f"`power` of `{bench.id}` needs feeds and grounds")
    if not feeds or not grounds or None in feeds or None in grounds:
        return
    for group in (feeds, grounds):
        for other in group[1:]:
            name = f"{group[0]}-{other.removeprefix(bench.id + '.')}"
            found.bonds.append(
                Bond(found.name("bond", name), bench.id, group[0], other, BUS_OHM, "bus")
            )
    control = (feeds[0], grounds[0])
    _add_drivers(bench, found, control)
    _add_sources(bench, found, control)


def _add_drivers(bench: Bench, found: Inside, control: tuple[str, str]) -> None:
    for name, driver in bench.device.drivers.items():
        at = ("drivers", name)
        out = bench.pin(name, *at)
        default = control[1] if driver.side == "low" else control[0]
        through = bench.pin(driver.through, *at, "through") if driver.through else default
        states = bench.scope.states(driver.on, (*bench.path, *at, "on"))
        if not (out and through):
            continue
        found.contacts.append(
            Contact(
                id=found.name("contact", out),
                device=bench.id,
                from_pin=out,
                to_pin=through,
                states=states,
                control=control,
                control_v=bench.device.power.works_from,
                ohms=DRIVER_OHM,
                limit_a=driver.limit,
                kind="driver",
            )
        )


def _add_sources(bench: Bench, found: Inside, control: tuple[str, str]) -> None:
    rows = []
    for name, given in bench.device.inputs.items():
        if given.pull_up is None:
            bench.pin(name, "inputs", name)
        elif given.pull_up <= 0:
            bench.scope.say(
                (*bench.path, "inputs", name, "pull up"), "`pull up` must be above zero"
            )
        else:
            limit_a = given.to / given.pull_up
            rows.append(("inputs", name, given.ground, given.to, given.pull_up, limit_a))
    for name, source in bench.device.sources.items():
        rows.append(("sources", name, source.ground, source.volts, source.through, source.limit))
    for section, name, ground, volts, ohms, limit_a in rows:
        plus = bench.pin(name, section, name)
        minus = bench.pin(ground, section, name, "ground") if ground else control[1]
        if plus and minus:
            found.sources.append(
                Source(
                    id=found.name("source", plus),
                    device=bench.id,
                    plus_pin=plus,
                    minus_pin=minus,
                    volts=volts,
                    ohms=ohms,
                    limit_a=limit_a,
                    control=control,
                    control_v=bench.device.power.works_from,
                )
            )

"""Controllers: what they switch, pull up and feed while they have power."""

from __future__ import annotations

import re
from itertools import pairwise

from buildbook.description import models as written
from buildbook.description.quantities import parse
from buildbook.vehicle.branches import BUS_OHM, Branches, DeviceScope
from buildbook.vehicle.model import Bond, Contact, Source
from buildbook.vehicle.scope import Path

DRIVER_OHM = 0.05
"""On-resistance of a controller's output stage (from memory)."""


def add_controller(own: DeviceScope, found: Branches) -> None:
    """What works while a device is fed: output stages, pull-ups and regulated voltages."""
    device, power = own.device, own.device.power
    if power is None:
        for section in ("drivers", "inputs", "sources"):
            if getattr(device, section):
                own.scope.say(
                    (*own.path, section),
                    f"`{own.id}` has `{section}` but no `power`",
                    "they work only while it is fed",
                    "give `power: {feeds: …, grounds: …}`",
                )
        return
    feeds = _pins(own, "feeds", power.feeds)
    grounds = _pins(own, "grounds", power.grounds)
    if not power.feeds or not power.grounds:
        own.scope.say((*own.path, "power"), f"`power` of `{own.id}` needs feeds and grounds")
    if not feeds or not grounds:
        return
    for group in (feeds, grounds):
        for other in group[1:]:
            name = f"{group[0]}-{other.removeprefix(own.id + '.')}"
            found.bonds.append(
                Bond(found.name("bond", name), own.id, group[0], other, BUS_OHM, "bus")
            )
    control = (feeds[0], grounds[0])
    _add_drivers(own, found, control, power.works_from)
    _add_sources(own, found, control, power.works_from)


def _pins(own: DeviceScope, key: str, names: list[str]) -> list[str]:
    """Ids of the pins that `power` names; none where one of them is unknown."""
    found = [own.pin(name, "power", key, index) for index, name in enumerate(names)]
    known = [pin for pin in found if pin is not None]
    return known if len(known) == len(names) else []


def _add_drivers(
    own: DeviceScope, found: Branches, control: tuple[str, str], control_v: float
) -> None:
    for name, driver in own.device.drivers.items():
        at = ("drivers", name)
        out = own.pin(name, *at)
        default = control[1] if driver.side == "low" else control[0]
        if driver.side == "push-pull":
            _add_pull_down(own, found, name, control, control_v)
        else:
            _say_of_one_side(own, name, driver)
        through = own.pin(driver.through, *at, "through") if driver.through else default
        states = own.scope.states(driver.on, (*own.path, *at, "on"))
        if not (out and through):
            continue
        found.contacts.append(
            Contact(
                id=found.name("contact", out),
                device=own.id,
                from_pin=out,
                to_pin=through,
                states=states,
                control=control,
                control_v=control_v,
                ohms=DRIVER_OHM if driver.ohms is None else driver.ohms,
                limit_a=driver.limit,
                kind="driver",
                leaks_ohm=own.nominal_v / driver.leaks if driver.leaks else 0.0,
                trips=_trips(own, driver, at),
            )
        )


def _add_pull_down(
    own: DeviceScope, found: Branches, name: str, control: tuple[str, str], control_v: float
) -> None:
    """The lower half of a push-pull output: closed where it is neither on nor released."""
    at, driver = ("drivers", name), own.device.drivers[name]
    ground = own.pin(driver.ground, *at, "ground") if driver.ground else control[1]
    on = _meant(own, driver.on)
    released = own.scope.states(driver.released, (*own.path, *at, "released"))
    if on & released:
        own.scope.say(
            (*own.path, *at, "released"),
            f"output {name} of `{own.id}` is on and released in '{min(on & released)}'",
            "an output that lets go of both is not on",
            "leave the state out of one of them",
        )
    _check_bridge(own, name, on)
    if ground:
        found.contacts.append(
            Contact(
                id=found.name("contact", f"{own.id}.{name}-low"),
                device=own.id,
                from_pin=f"{own.id}.{name}",
                to_pin=ground,
                states=frozenset(own.scope.description.states) - on - released,
                control=control,
                control_v=control_v,
                ohms=DRIVER_OHM if driver.ohms is None else driver.ohms,
                limit_a=driver.limit,
                kind="pull-down",
            )
        )


def _check_bridge(own: DeviceScope, name: str, on: frozenset[str]) -> None:
    """The other half of a bridge is a push-pull output that names this one, and not on with it."""
    driver = own.device.drivers[name]
    if driver.bridge is None:
        return
    at = (*own.path, "drivers", name, "bridge")
    other = own.device.drivers.get(driver.bridge)
    if other is None or other.side != "push-pull" or other.bridge != name:
        own.scope.say(
            at,
            f"output {name} of `{own.id}` has no other half of its bridge in {driver.bridge}",
            "a bridge is two push-pull outputs with the load between them",
            f"give {driver.bridge} `side: push-pull` and `bridge: {name}`",
        )
        return
    if driver.duty != other.duty and None not in (driver.duty, other.duty):
        own.scope.say(
            (*own.path, "drivers", name, "duty"),
            f"the halves {name} and {driver.bridge} of a bridge of `{own.id}` differ in `duty`",
            "what hangs between them is reckoned with one",
            "give both the larger one",
        )
    both = on & _meant(own, other.on)
    if both and name < driver.bridge:
        own.scope.say(
            at,
            f"both halves of the bridge {name} and {driver.bridge} of `{own.id}` are on in "
            f"'{min(both)}'",
            "the load between them then gets nothing",
            "let one of them be on, for the way that the motor turns",
        )


def _meant(own: DeviceScope, when: written.When) -> frozenset[str]:
    """States that a `When` names; unknown ones are told where outputs are joined."""
    every = own.scope.description.states
    chosen = every if when.states is None else when.states
    return frozenset(name for name in chosen if name in every and name not in when.except_)


def _say_of_one_side(own: DeviceScope, name: str, driver: written.Driver) -> None:
    """Keys that only a push-pull output has a use for."""
    for key in sorted({"ground", "released", "bridge"} & driver.model_fields_set):
        own.scope.say(
            (*own.path, "drivers", name, key),
            f"output {name} of `{own.id}` has `{key}` and is no push-pull output",
            "one that switches to one side lets go of it by itself",
            "give `side: push-pull`, or leave it out",
        )


def _trips(own: DeviceScope, driver: written.Driver, at: Path) -> tuple[tuple[float, float], ...]:
    """Amps from which an output switches itself off and the time it may take; else a problem."""
    found = []
    for index, text in enumerate(driver.trips):
        match = re.fullmatch(r"(.+?)\s+within\s+(.+)", text.strip())
        try:
            if match:
                found.append((parse(match[1], "A"), parse(match[2], "s")))
                continue
            said = f"'{text}' is not written as a current and a time"
        except ValueError as error:
            said = str(error).partition(";")[0]
        own.scope.say(
            (*own.path, *at, "trips", index),
            f"`trips` of `{own.id}`: {said}",
            "",
            "write for example 20 A within 500 ms",
        )
    found.sort()
    if found and (found[0][0] <= driver.limit or min(time for _, time in found) <= 0):
        own.scope.say(
            (*own.path, *at, "trips"),
            f"an output of `{own.id}` trips at its `limit` or below it, or in no time",
            "it has to carry its limit for as long as it is on",
            "give the current from which it switches itself off, and how long it takes at most",
        )
    elif any(later >= sooner for (_, sooner), (_, later) in pairwise(found)):
        own.scope.say(
            (*own.path, *at, "trips"),
            f"an output of `{own.id}` trips no sooner at a larger current",
            "",
            "give the longest time at each current, shorter ones at larger currents",
        )
    return tuple(found)


def _add_sources(
    own: DeviceScope, found: Branches, control: tuple[str, str], control_v: float
) -> None:
    rows: list[tuple[str, str, str | None, float, float, float]] = []
    for name, given in own.device.inputs.items():
        if given.pull_up is None:
            own.pin(name, "inputs", name)
        else:
            limit_a = given.to / given.pull_up
            rows.append(("inputs", name, given.ground, given.to, given.pull_up, limit_a))
    for name, source in own.device.sources.items():
        rows.append(("sources", name, source.ground, source.volts, source.through, source.limit))
    for section, name, ground, volts, ohms, limit_a in rows:
        plus = own.pin(name, section, name)
        minus = own.pin(ground, section, name, "ground") if ground else control[1]
        if plus and minus:
            found.sources.append(
                Source(
                    id=found.name("source", plus),
                    device=own.id,
                    plus_pin=plus,
                    minus_pin=minus,
                    volts=volts,
                    ohms=ohms,
                    limit_a=limit_a,
                    control=control,
                    control_v=control_v,
                )
            )

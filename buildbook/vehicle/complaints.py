"""What drivers see and what follows when a device is lost, joined to the loads that it is about."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from buildbook.description import models as written
from buildbook.vehicle.model import Circuit, Complaint, Device, Loss, Sign
from buildbook.vehicle.scope import Path, Scope

ALL = "all"
"""Stands for every load that a driver notices."""
KEYS = ("dead", "weak", "stuck_on", "reads_wrong", "works")
SEEN_KEYS = (*KEYS[:-1], "blows")
"""What makes a sign: something that works is not one."""


def complaints_of(scope: Scope, devices: Mapping[str, Device]) -> tuple[Complaint, ...]:
    """The author's complaints; what names nothing, or could never be seen, is noted."""
    found = []
    for name, symptom in scope.description.symptoms.items():
        path = ("symptoms", name)
        if not symptom.seen and not symptom.causes:
            scope.say(
                path,
                f"the symptom `{name}` says neither what is seen nor what causes it",
                "",
                "add `seen` (what is dead, weak, stuck on, …) or `causes`",
            )
        signs = [
            _sign(scope, (*path, "seen", index), sign, devices)
            for index, sign in enumerate(symptom.seen)
        ]
        found.append(Complaint(name, tuple(signs), symptom))
    return tuple(found)


def losses_of(
    scope: Scope, devices: Mapping[str, Device], circuits: Iterable[Circuit]
) -> tuple[Loss, ...]:
    """What follows when a device is lost; what names nothing is noted."""
    found = []
    for name, device in devices.items():
        path = ("devices", name, "when lost")
        if device.written.when_lost and not device.loads:
            scope.say(
                path,
                f"`{name}` draws nothing, so nothing tells that it is lost",
                "",
                "give it `draws`: a sensor has one between its signal and its return",
            )
        if not device.written.when_lost:
            continue
        of = tuple(load.id for load in device.loads)
        awake = _read_by(name, devices, circuits)
        for index, loss in enumerate(device.written.when_lost):
            if loss.stuck_on and not awake:
                scope.say(
                    (*path, index),
                    f"no controller reads `{name}`, so none leaves anything on",
                    "",
                    "join it to one of a controller's `inputs`, or say it in words alone",
                )
            found.append(
                replace(_loss(scope, (*path, index), name, loss, devices), of=of, awake=awake)
            )
    return tuple(found)


def _read_by(
    name: str, devices: Mapping[str, Device], circuits: Iterable[Circuit]
) -> tuple[str, ...]:
    """The loads between feed and ground of the controllers that have an input on its pins."""
    readers = {
        pin.device
        for circuit in circuits
        if name in {pin.device for pin in circuit.pins}
        for pin in circuit.pins
        if pin.name in devices[pin.device].written.inputs
    }
    found = []
    for reader in readers:
        power = devices[reader].written.power
        feeds = {f"{reader}.{feed}" for feed in power.feeds} if power else set()
        found += [load.id for load in devices[reader].loads if load.from_pin in feeds]
    return tuple(sorted(found))


def _loss(
    scope: Scope, path: Path, name: str, loss: written.Loss, devices: Mapping[str, Device]
) -> Loss:
    states = scope.states(loss.in_, (*path, "in"))
    dead, on = (
        tuple(x for loads in _things(scope, path, key, getattr(loss, key), devices) for x in loads)
        for key in ("dead", "stuck_on")
    )
    return Loss(name, (), loss.what, dead, on, states)


def _sign(scope: Scope, path: Path, sign: written.Sign, devices: Mapping[str, Device]) -> Sign:
    before = len(scope.problems)
    states = scope.states(sign.in_, (*path, "in"))
    things = {key: _things(scope, path, key, getattr(sign, key), devices) for key in KEYS}
    if not any(getattr(sign, key) for key in SEEN_KEYS):
        scope.say(
            path,
            "nothing is wrong in this sign",
            "",
            "say what is `dead`, `weak`, `stuck on`, `reads wrong` or which fuse `blows`",
        )
    for index, fuse in enumerate(sign.blows):
        fuses = [name for name, device in devices.items() if device.kind == "fuse"]
        scope.known((*path, "blows", index), "fuse", fuse, fuses)
    if len(scope.problems) == before:
        _check_states(scope, path, sign, things, states, devices)
    well = {load for loads in things["works"] for load in loads}
    dead = tuple(left for x in things["dead"] if (left := tuple(y for y in x if y not in well)))
    return Sign(
        **(things | {"dead": dead}),
        blows=frozenset(sign.blows),
        states=states,
        only_in=sign.in_ != written.When(),
    )


def _things(
    scope: Scope, path: Path, key: str, names: list[str], devices: Mapping[str, Device]
) -> tuple[tuple[str, ...], ...]:
    """The loads of each thing named under one key."""
    noticed = {
        name: tuple(load.id for load in device.loads)
        for name, device in devices.items()
        if device.loads and device.kind != "relay" and device.written.fitted == "yes"
    }
    single = {load: (load,) for loads in noticed.values() for load in loads}
    found: list[tuple[str, ...]] = []
    for index, name in enumerate(names):
        at = (*path, key.replace("_", " "), index)
        if name == ALL and name not in devices:
            found.append(tuple(single))
        elif name in noticed:
            found.append(noticed[name])
        elif name in single:
            found.append(single[name])
        elif name in devices:
            device = devices[name]
            why = (
                "it is not fitted yet"
                if device.written.fitted != "yes"
                else (
                    "a driver sees what it switches"
                    if device.kind == "relay"
                    else "it draws nothing"
                )
            )
            scope.say(at, f"nobody sees whether `{name}` works", why, "name what it feeds instead")
        else:
            scope.known(at, "device or load", name, [*noticed, *single])
    return tuple(found)


def _check_states(
    scope: Scope,
    path: Path,
    sign: written.Sign,
    things: Mapping[str, tuple[tuple[str, ...], ...]],
    states: frozenset[str],
    devices: Mapping[str, Device],
) -> None:
    """What should be dead or weak is on in one of the states, and is not said to work too."""
    on_in = {load.id: load.states for device in devices.values() for load in device.loads}
    for key in ("dead", "weak", "reads_wrong"):
        if ALL in getattr(sign, key):
            continue
        for index, loads in enumerate(things[key]):
            at, name = (*path, key.replace("_", " "), index), getattr(sign, key)[index]
            if not states & frozenset().union(*(on_in[load] for load in loads)):
                on = ", ".join(s for s in scope.description.states if s in on_in[loads[0]])
                scope.say(
                    at,
                    f"`{name}` is not on in these states, so nobody sees it fail",
                    f"it is on in: {on}" if on else "",
                    "name other states under `in`",
                )
            if loads in things["works"]:
                scope.say(at, f"`{name}` both works and is {key.replace('_', ' ')}")

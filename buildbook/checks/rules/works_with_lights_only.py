"""Finds brake lamps and horns that are dead while the lights are off."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.meant import Meant
from buildbook.checks.model import Finding
from buildbook.checks.naming import called, words
from buildbook.checks.places import where_of_pin
from buildbook.checks.stages import Assessed
from buildbook.checks.standing import Bench, Mended
from buildbook.vehicle.model import Contact, Device, Load, Vehicle
from buildbook.words.say import say

RULE = "works-with-lights-only"
SEVERITY = "warning"
SOURCE = (
    "UN ECE R48: stop lamps light whenever the brake is worked, whatever other lamps do; UN ECE "
    "R28 asks a horn that sounds at any time"
)
STOP = frozenset({"brake", "stop"})
LIGHTS = frozenset(
    {"tail", "side", "dipped", "main", "headlamp", "headlight", "lights", "position"}
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """Open each switch of the lights by itself, and see which brake lamps and horns go dead."""
    vehicle = assessed.vehicle
    wanted = [x for d in vehicle.devices.values() for x in d.loads if _is_wanted(vehicle, d, x)]
    if not wanted:
        return
    bench = Meant(Bench(vehicle)).bench
    before = {state: bench.standing(state) for state in vehicle.states}
    for device in vehicle.devices.values():
        for contact in device.contacts:
            if contact.kind != "switch" or not _is_at_times(vehicle, contact):
                continue
            mended = Mended(closed={contact.id: frozenset()})
            dead: list[Load] = []
            lights: list[Load] = []
            for state in vehicle.states:
                if state not in contact.states:
                    continue
                after = bench.standing(state, mended)
                for owner in vehicle.devices.values():
                    for load in owner.loads:
                        if not before[state].works(load) or after.works(load):
                            continue
                        if load in wanted:
                            dead.append(load)
                        elif _is_light(vehicle, owner, load):
                            lights.append(load)
            if dead and lights:
                yield _finding(assessed, device, contact, dead[0], lights[0])


def _finding(
    assessed: Assessed, device: Device, contact: Contact, dead: Load, light: Load
) -> Finding:
    vehicle = assessed.vehicle
    owner = vehicle.devices[dead.device]
    pin, feed = _culprit(vehicle, contact)
    said = {
        "load": called(owner.title, dead.id),
        "contact": called(device.title, contact.id),
        "light": light.id,
    }
    return Finding(
        RULE,
        "warning",
        dead.id,
        say(
            "{load} works only while {contact} is closed, which switches {light}: fed through "
            "{pin} behind that switch, it is dead with the lights off.",
            pin=pin,
            **said,
        )
        if pin
        else say(
            "{load} works only while {contact} is closed, which switches {light}: fed behind that "
            "switch, it is dead with the lights off.",
            **said,
        ),
        _remedy(pin, device.id, feed),
        SOURCE,
        where_of_pin(vehicle, pin or dead.from_pin),
    )


def _remedy(pin: str, switch: str, feed: str) -> str:
    if not pin:
        return say("Feed it from a feed that is live without {switch}.", switch=switch)
    if not feed:
        return say("Join {pin} into a feed that is live without {switch}.", pin=pin, switch=switch)
    return say(
        "Join {pin} into a feed that is live without {switch}, such as {feed}.",
        pin=pin,
        switch=switch,
        feed=feed,
    )


def _culprit(vehicle: Vehicle, contact: Contact) -> tuple[str, str]:
    """The switch's pin that stands in the lights' circuit, and a fused feed of that system."""
    for end in (contact.to_pin, contact.from_pin):
        for circuit in vehicle.circuit_of_pin.get(end, ()):
            for pin in vehicle.circuits[circuit].pins:
                beside = vehicle.devices[pin.device]
                is_switch = pin.device != contact.device and beside.kind in ("switch", "horn")
                if not is_switch or _feeds_it(vehicle, circuit):
                    continue
                return pin.id, _feed(vehicle, beside.system, circuit)
    return "", ""


def _feeds_it(vehicle: Vehicle, circuit: str) -> bool:
    return any(vehicle.devices[p.device].kind == "fuse" for p in vehicle.circuits[circuit].pins)


def _feed(vehicle: Vehicle, system: str, not_this: str) -> str:
    """A circuit of that system behind a fuse that feeds a horn, live at all times; '' without."""
    for name, circuit in vehicle.circuits.items():
        fuses = [p for p in circuit.pins if vehicle.devices[p.device].kind == "fuse"]
        kinds = {vehicle.devices[p.device].kind for p in circuit.pins}
        if name != not_this and circuit.system == system and fuses and "horn" in kinds:
            return say("'{circuit}' behind {fuse}", circuit=name, fuse=fuses[0].device)
    return ""


def _is_wanted(vehicle: Vehicle, device: Device, load: Load) -> bool:
    """Whether it is a horn, or a lamp one of whose pins is for braking."""
    uses = words(*(vehicle.pins[p].use for p in (load.from_pin, load.to_pin)))
    return device.kind == "horn" or (device.kind == "lamp" and bool(STOP & set(uses)))


def _is_light(vehicle: Vehicle, device: Device, load: Load) -> bool:
    uses = words(*(vehicle.pins[p].use for p in (load.from_pin, load.to_pin)))
    return device.kind == "lamp" and bool(LIGHTS & set(uses))


def _is_at_times(vehicle: Vehicle, contact: Contact) -> bool:
    """Whether it is open in a state in which the engine turns: a key is not."""
    turning = [s for s, said in vehicle.description.states.items() if said.engine]
    return bool(contact.states) and any(s not in contact.states for s in turning)

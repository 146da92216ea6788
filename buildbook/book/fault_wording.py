"""Faults, symptoms and places to probe in the words of somebody holding a meter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from buildbook.book.formats import amps, hours, number
from buildbook.book.shared_rows import unique
from buildbook.faultfinding.access import cranked
from buildbook.faultfinding.diagnosis import FaultTable
from buildbook.faultfinding.model import ALTERNATING, SWINGS, Charging, Effect, Fault, Step, Symptom
from buildbook.result import Result
from buildbook.vehicle.model import Load, Sign

NAMED = 3
"""Devices that a symptom's heading names at most."""
FEW_LEFT_OUT = 2
"""States that are named as left out, rather than all others as meant."""


def probe_place(result: Result | FaultTable, node: str) -> str:
    """Where to hold the probe for a node: 'F21 out, top of the fuse', 'X1.5 engine half'."""
    name, inside = node.removesuffix("~"), node.endswith("~")
    pin_id, _slash, half = name.partition("/")
    if half:
        return f"{pin_id} {half} half"
    pin = result.vehicle.pins.get(pin_id)
    if pin is None:
        splice = result.harness.splices.get(pin_id)
        return f"splice {pin_id} at {splice.point}" if splice else f"{pin_id}, the body"
    device = result.vehicle.devices[pin.device]
    if device.kind == "fuse" and (inside or not pin.stud):
        own = "the fuse's tag" if pin.stud else "top of the fuse"
        return f"{device.id} {pin.name}, {own if inside else 'terminal at the fuse'}"
    if pin.stud:
        return f"{device.id} {pin.name}" if pin.name == "stud" else f"{pin.id} stud"
    if device.kind == "relay" and not pin.plug:
        return f"{pin.id} at the relay's foot"
    return f"{pin.id} at the plug"


def short_place(text: str) -> str:
    """Where to hold the probe, without what the key to the trees says once for all."""
    shorter = text.replace(" at the plug", "").replace(" at the relay's foot", "")
    return shorter.replace(", top of the fuse", " top").replace(", the fuse's tag", " tag")


def described(result: Result, fault: Fault) -> str:
    """What a suspect looks like: 'pin fuel-pump.1 not making contact'."""
    ref = fault.branch.partition(":")[2]
    if fault.kind == "pin":
        pin = result.vehicle.pins.get(ref)
        if pin and pin.stud:
            return f"nut or ring at {ref} loose"
        return f"pin {ref} not making contact"
    if fault.kind == "wire" and (wire := result.harness.wires.get(ref)):
        return f"wire {ref} open ({place(wire.a.node)} to {place(wire.b.node)})"
    if fault.kind == "bus" and "." in ref:
        device, _dot, pins = ref.partition(".")
        if device in result.vehicle.devices and "-" in pins:
            return f"joint inside {device} between {pins.replace('-', ' and ')} open"
    if fault.kind == "contact" and is_relay_contact(result, ref):
        return f"{fault.title} (burnt)"
    if fault.kind == "load" and (load := loads(result).get(ref)):
        if load.id == f"{load.device}.coil":
            return f"{load.device} coil open"
        return f"{part(result, load)} open inside"
    return fault.title


def in_one_line(result: Result, faults: Iterable[str]) -> str:
    """Several suspects in one line: 'pins K1.30, K1.87 not making contact; wire 112 open'."""
    known = result.faultfinding.faults
    alike: dict[tuple[str, str], list[str]] = {}
    single = []
    for name in faults:
        fault = known[name]
        ref, said = fault.branch.partition(":")[2], described(result, fault)
        before, found, after = said.partition(f" {ref} ")
        if fault.kind in ("pin", "wire") and found:
            alike.setdefault((before, after.partition(" (")[0]), []).append(ref)
        else:
            single.append(said)
    grouped = [
        f"{before}{'s' if len(refs) > 1 and before in ('pin', 'wire') else ''} "
        f"{', '.join(refs)} {after}"
        for (before, after), refs in alike.items()
    ]
    return "; ".join(grouped + single)


READ = {SWINGS: ", the middle of its swing", ALTERNATING: ", meter on AC"}
"""How volts are read that do not stand still."""


def how_read(step: Step) -> str:
    """What is said behind the place of a probe of how its volts are read; '' where they stand."""
    return READ.get(step.other, "")


MANNERS = {"resistive": "poor", "short": "to the body", "stuck": "stuck closed"}
"""What is said of a part that fails in another way than by opening."""


def briefly(result: Result, faults: Iterable[str]) -> str:
    """Suspects in their order, with as few words as can be: 'pins K1.30, K1.87; F4'.

    A part named alone is open; what else can be wrong with it stands behind it.
    """
    return _in_words(_by_part(result, faults))


def gathered(result: Result, faults: Iterable[str]) -> str:
    """As `briefly`, where nothing stands first: all of a kind together."""
    named = _by_part(result, faults)
    kinds = list(dict.fromkeys(part[:2] for part in named))
    return _in_words(sorted(named, key=lambda part: kinds.index(part[:2])))


def _by_part(result: Result, faults: Iterable[str]) -> list[tuple[str, str, str]]:
    """Each part once: its kind in a word, what is wrong with it, and its name."""
    known = result.faultfinding.faults
    manners: dict[tuple[str, str], dict[str, None]] = {}
    for name in faults:
        fault = known[name]
        manners.setdefault(_part(result, fault), {})[MANNERS.get(fault.mode, "")] = None
    found = []
    for (word, ref), ways in manners.items():
        said = " or ".join(way or "open" for way in ways) if tuple(ways) != ("",) else ""
        found.append((word, said, ref))
    return found


def _in_words(parts: Iterable[tuple[str, str, str]]) -> str:
    """Neighbours of one kind share its word."""
    found = []
    for (word, said), those in groupby(parts, key=lambda part: part[:2]):
        refs = [ref for *_, ref in those]
        words = f"{word}{'s' if word and len(refs) > 1 else ''} {', '.join(refs)}".strip()
        found.append(words + (f" ({said})" if said else ""))
    return "; ".join(found)


def _part(result: Result, fault: Fault) -> tuple[str, str]:
    """The kind of part in a word, '' where its name says it, and the name."""
    ref = fault.branch.partition(":")[2] or fault.branch
    if fault.mode == "swap":
        return "", fault.title
    if fault.kind == "pin":
        pin = result.vehicle.pins.get(ref)
        return ("nut" if pin and pin.stud else "pin"), ref
    if fault.kind in ("wire", "fuse"):
        return ("wire" if fault.kind == "wire" else ""), ref
    if fault.kind == "ground":
        return "", f"{ref} on the body"
    if fault.kind == "contact":
        return "contact", ref
    if fault.kind == "bus":
        return "joint", ref
    if fault.kind == "load":
        return "", f"{ref.removesuffix('.coil')} {'coil' if ref.endswith('.coil') else 'itself'}"
    if fault.kind in ("battery", "alternator"):
        return "", f"{_device_of_source(result, fault.branch)} itself"
    return "", f"{ref} output"


def _device_of_source(result: Result, name: str) -> str:
    """The device that holds a battery or what charges it, by the source's name."""
    source = next(s for s in result.vehicle.supply.sources if s.id == name)
    return source.plus_pin.partition(".")[0]


def is_relay_contact(result: Result, contact: str) -> bool:
    """True for a contact that a coil works."""
    devices = result.vehicle.devices.values()
    return any(c.id == contact and c.kind == "relay" for d in devices for c in d.contacts)


def place(node: str) -> str:
    """A wire's end for reading aloud: 'X1.5 engine half' for 'X1.5/engine'."""
    pin, slash, half = node.partition("/")
    if node.endswith(".cap"):
        return "its cap"
    return f"{pin} {half} half" if slash else pin


def loads(result: Result | FaultTable) -> dict[str, Load]:
    """Every load by id."""
    return {load.id: load for device in result.vehicle.devices.values() for load in device.loads}


def part(result: Result | FaultTable, load: Load) -> str:
    """A load by its device's title, and by its first pin where the device has several."""
    device = result.vehicle.devices[load.device]
    title = device.title or device.id
    if len(device.loads) == 1:
        return title
    pin = result.vehicle.pins[load.from_pin]
    return f"{title}, {device.id}.{pin.name}"


def named_or_counted(names: tuple[str, ...], most: int) -> str:
    """'Fuel pump', 'Left fan and Horn', 'Data logger, Dash display and 33 more'."""
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])} and {names[-1]}"


def dangers(result: Result, symptom: Symptom) -> tuple[str, ...]:
    """Cautions of a symptom's work: of its measurements' states, then of the parts touched."""
    return unique(["fire"] * symptom.burns + list(hazards(result, symptom.steps, symptom.suspects)))


def hazards(result: Result, steps: Iterable[Step], suspects: Iterable[str]) -> tuple[str, ...]:
    """Cautions of the states in which is measured, then of the parts that are touched."""
    devices, states = result.vehicle.devices, result.vehicle.description.states
    found: list[str | None] = []
    steps = tuple(steps)
    for name in unique(step.state for step in steps if "ohms" not in step.what):
        if cranks(result, name):
            found.append("cranking")
        elif states[name].engine > 0:
            found.append("running")
    touched = [node for step in steps for node in step.node.split(",") if step.what != "look"]
    touched += [result.faultfinding.faults[f].branch.partition(":")[2] for f in suspects]
    names = unique(node.partition(".")[0] for node in touched)
    found += [devices[n].written.caution for n in names if n in devices]
    return unique(kind for kind in found if kind)


def losses(result: Result, effects: Iterable[Effect]) -> tuple[str, ...]:
    """What the controllers do without what these effects take away, in the author's words."""
    gone = {(e.load, e.state) for e in effects if e.lost or e.effect == "dead"}
    return unique(
        loss.what
        for loss in result.vehicle.losses
        if any((load, state) in gone for load in loss.of for state in loss.states)
    )


def sign_words(result: Result, sign: Sign) -> str:
    """What is wrong, in titles: 'Left headlamp (the left dipped beam lights) weak'."""
    said = []
    for word, things in (
        ("dead", sign.dead),
        ("weak", sign.weak),
        ("stuck on", sign.stuck_on),
        ("wrong reading", sign.reads_wrong),
    ):
        if things:
            said.append(f"{things_words(result, things)} {word}")
    if sign.blows:
        said.append(f"blows {named_or_counted(tuple(sorted(sign.blows)), NAMED)}")
    return "; ".join(said)


def things_words(result: Result, things: tuple[tuple[str, ...], ...]) -> str:
    """Several things by their titles; many of one kind are counted: '5 ignition coils'."""
    known, devices = loads(result), result.vehicle.devices
    kinds = {devices[known[load].device].kind for named in things for load in named}
    if len(things) >= NAMED and len(kinds) == 1:
        return f"{len(things)} {kinds.pop()}s"
    return named_or_counted(unique(thing_words(result, named) for named in things), NAMED)


def thing_words(result: Result | FaultTable, named: tuple[str, ...]) -> str:
    """A device by its title, a single load of it also by what is seen of it."""
    known = loads(result)
    device = result.vehicle.devices[known[named[0]].device]
    if len({known[load].device for load in named}) > 1:
        return "everything"
    if len(named) == len(device.loads):
        return device.title
    return f"{device.title} ({known[named[0]].what or named[0].partition('.')[2]})"


def cranks(result: Result, state: str) -> bool:
    """True for a state in which a part with the caution 'cranking' draws current."""
    return state in cranked(result.vehicle)


def states_words(result: Result, states: Sequence[str]) -> str:
    """States in order: 'idle, raining', 'every state', 'every state but off'."""
    others = [state for state in result.vehicle.states if state not in states]
    if len(states) <= len(others) or len(others) > FEW_LEFT_OUT:
        return ", ".join(states)
    return f"every state but {' and '.join(others)}" if others else "every state"


def charging_words(symptom: Symptom) -> tuple[str, ...]:
    """What a voltmeter shows while the engine runs on the battery alone, and for how long."""
    if not symptom.charging:
        return ()
    worst = max(symptom.charging, key=lambda c: c.drain_a)
    least = min(symptom.charging, key=lambda c: c.drain_a)
    several = len(symptom.charging) > 1
    said = [_drained(worst)] + ([_drained(least)] if several else [])
    return (f"The engine runs on the battery: {'; '.join(said)}",)


def _drained(charging: Charging) -> str:
    shown, healthy = number(charging.battery_v, 1), number(charging.healthy_v, 1)
    return (
        f"{charging.state} {shown} V at the battery instead of {healthy}, {amps(charging.drain_a)} "
        f"drawn from it: it starts again for {hours(charging.last_start_h)}, "
        f"stops after {hours(charging.flat_h)}"
    )

"""Faults, symptoms and places to probe in the words of somebody holding a meter."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from buildbook.book.shared_rows import unique
from buildbook.faultfinding.access import cranked
from buildbook.faultfinding.diagnosis import FaultTable
from buildbook.faultfinding.model import ALTERNATING, SWINGS, Effect, Fault, Step, Symptom
from buildbook.faultfinding.symptom_titles import blows_words, seen_words
from buildbook.result import Result
from buildbook.vehicle.model import Load, Sign
from buildbook.words.joined import all_of, and_more, listed
from buildbook.words.say import mark, say, say_n

NAMED = 3
"""Devices that a symptom's heading names at most."""


def probe_place(result: Result | FaultTable, node: str) -> str:
    """Where to hold the probe for a node: 'F21 out, top of the fuse', 'X1.5 engine half'."""
    name, inside = node.removesuffix("~"), node.endswith("~")
    pin_id, _slash, half = name.partition("/")
    if half:
        return half_words(pin_id, half)
    pin = result.vehicle.pins.get(pin_id)
    if pin is None:
        splice = result.harness.splices.get(pin_id)
        return splice_words(pin_id, splice.point) if splice else on_body_words(pin_id)
    device = result.vehicle.devices[pin.device]
    if device.kind == "fuse" and (inside or not pin.stud):
        there = f"{device.id} {pin.name}"
        if not inside:
            return say("{place}, terminal at the fuse", place=there)
        return _tag_of_fuse(there) if pin.stud else _top_of_fuse(there)
    if pin.stud:
        return say("{pin} stud", pin=device.id if pin.name == "stud" else pin.id)
    if device.kind == "relay" and not pin.plug:
        return _at_foot(pin.id)
    return _at_plug(pin.id)


def half_words(pin: str, half: str) -> str:
    """A contact of a bulkhead connector, on one harness's half of it."""
    return say("{pin} {half} half", pin=pin, half=half)


def splice_words(splice: str, point: str) -> str:
    """A splice, and the point of the rope at which it lies."""
    return say("splice {splice} at {point}", splice=splice, point=point)


def on_body_words(node: str) -> str:
    """A place on the body itself."""
    return say("{place}, the body", place=node)


def _at_plug(pin: str) -> str:
    return say("{pin} at the plug", pin=pin)


def _at_foot(pin: str) -> str:
    return say("{pin} at the relay's foot", pin=pin)


def _top_of_fuse(there: str) -> str:
    return say("{place}, top of the fuse", place=there)


def _tag_of_fuse(there: str) -> str:
    return say("{place}, the fuse's tag", place=there)


def short_place(text: str) -> str:
    """Where to hold the probe, without what the key to the trees says once for all.

    In every language these words stand behind the name.
    """
    shorter = text.replace(_at_plug(""), "").replace(_at_foot(""), "")
    shorter = shorter.replace(_top_of_fuse(""), say("{place} top", place=""))
    return shorter.replace(_tag_of_fuse(""), say("{place} tag", place=""))


def described(result: Result, fault: Fault) -> str:
    """What a suspect looks like: 'pin fuel-pump.1 not making contact'."""
    ref = fault.branch.partition(":")[2]
    if fault.kind == "pin":
        return _loose_nuts([ref]) if _is_nut(result, ref) else _no_contact([ref])
    if fault.kind == "wire" and (wire := result.harness.wires.get(ref)):
        ends = (place(wire.a.node), place(wire.b.node))
        return say("wire {wire} open ({start} to {end})", wire=ref, start=ends[0], end=ends[1])
    if fault.kind == "bus" and "." in ref:
        device, _dot, pins = ref.partition(".")
        if device in result.vehicle.devices and "-" in pins:
            between = all_of(pins.split("-"))
            return say("joint inside {device} between {pins} open", device=device, pins=between)
    if fault.kind == "contact" and is_relay_contact(result, ref):
        return say("{fault} (burnt)", fault=fault.title)
    if fault.kind == "load" and (load := loads(result).get(ref)):
        if load.id == f"{load.device}.coil":
            return say("{device} coil open", device=load.device)
        return say("{part} open inside", part=part(result, load))
    return fault.title


def _is_nut(result: Result, pin: str) -> bool:
    known = result.vehicle.pins.get(pin)
    return known is not None and known.stud


def _loose_nuts(pins: Sequence[str]) -> str:
    return say("nut or ring at {pins} loose", pins=", ".join(pins))


def _no_contact(pins: Sequence[str]) -> str:
    shown = ", ".join(pins)
    return say_n(
        "pin {pins} not making contact",
        "pins {pins} not making contact",
        len(pins),
        pins=shown,
    )


def _open_wires(wires: Sequence[str]) -> str:
    return say_n("wire {wires} open", "wires {wires} open", len(wires), wires=", ".join(wires))


def in_one_line(result: Result, faults: Iterable[str]) -> str:
    """Several suspects in one line: 'pins K1.30, K1.87 not making contact; wire 112 open'."""
    known = result.faultfinding.faults
    alike: dict[Callable[[Sequence[str]], str], list[str]] = {}
    single = []
    for name in faults:
        fault = known[name]
        ref = fault.branch.partition(":")[2]
        if fault.kind == "pin":
            words = _loose_nuts if _is_nut(result, ref) else _no_contact
            alike.setdefault(words, []).append(ref)
        elif fault.kind == "wire":
            alike.setdefault(_open_wires, []).append(ref)
        else:
            single.append(described(result, fault))
    return "; ".join([*(words(refs) for words, refs in alike.items()), *single])


READ = {SWINGS: mark(", the middle of its swing"), ALTERNATING: mark(", meter on AC")}
"""How volts are read that do not stand still."""


def how_read(step: Step) -> str:
    """What is said behind the place of a probe of how its volts are read; '' where they stand."""
    return say(READ[step.other]) if step.other in READ else ""


MANNERS = {
    "resistive": mark("poor"),
    "short": mark("to the body"),
    "stuck": mark("stuck closed"),
}
"""What is said of a part that fails in another way than by opening."""


def manner_of(fault: Fault) -> str:
    """How a part fails, where it fails in another way than by opening; '' where it opens."""
    return say(MANNERS[fault.mode]) if fault.mode in MANNERS else ""


def briefly(result: Result, faults: Iterable[str]) -> str:
    """Suspects in their order, with as few words as can be: 'pins K1.30, K1.87; F4'.

    A part named alone is open; what else can be wrong with it stands behind it.
    """
    return _in_words(_by_part(result, faults))


def gathered(result: Result, faults: Iterable[str], how: bool = True) -> str:
    """As `briefly`, where nothing stands first: all of a kind together.

    Without `how` nothing is said of what is wrong with them: all fail alike.
    """
    named = [(word, said if how else "", ref) for word, said, ref in _by_part(result, faults)]
    kinds = list(dict.fromkeys(part[:2] for part in named))
    return _in_words(sorted(named, key=lambda part: kinds.index(part[:2])))


def _by_part(result: Result, faults: Iterable[str]) -> list[tuple[str, str, str]]:
    """Each part once: its kind in a word, what is wrong with it, and its name."""
    known = result.faultfinding.faults
    manners: dict[tuple[str, str], dict[str, None]] = {}
    for name in faults:
        fault = known[name]
        manners.setdefault(_part(result, fault), {})[manner_of(fault)] = None
    found, opened = [], say("open", context="a part fails")
    for (word, ref), ways in manners.items():
        said = say(" or ").join(way or opened for way in ways) if tuple(ways) != ("",) else ""
        found.append((word, said, ref))
    return found


def _in_words(parts: Iterable[tuple[str, str, str]]) -> str:
    """Neighbours of one kind share its word."""
    found = []
    for (word, said), those in groupby(parts, key=lambda part: part[:2]):
        refs = [ref for *_, ref in those]
        words = _of_kind(word, len(refs), ", ".join(refs))
        found.append(words + (f" ({said})" if said else ""))
    return "; ".join(found)


def _of_kind(word: str, count: int, names: str) -> str:
    """Names of parts behind the word of their kind; '' for those whose names say it."""
    words = {
        "pin": say_n("pin {names}", "pins {names}", count, names=names),
        "nut": say_n("nut {names}", "nuts {names}", count, names=names),
        "wire": say_n("wire {names}", "wires {names}", count, names=names),
        "contact": say_n("contact {names}", "contacts {names}", count, names=names),
        "joint": say_n("joint {names}", "joints {names}", count, names=names),
    }
    return words.get(word, names)


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
        return "", say("{ground} on the body", ground=ref)
    if fault.kind == "contact":
        return "contact", ref
    if fault.kind == "bus":
        return "joint", ref
    if fault.kind == "load":
        if ref.endswith(".coil"):
            return "", say("{device} coil", device=ref.removesuffix(".coil"))
        return "", say("{device} itself", device=ref)
    if fault.kind in ("battery", "alternator"):
        return "", say("{device} itself", device=_device_of_source(result, fault.branch))
    return "", say("{name} output", name=ref)


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
        return say("its cap")
    return half_words(pin, half) if slash else pin


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
        return and_more(names[: most - 1], len(names) - most + 1)
    return listed(names)


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
    for effect, things in (
        ("dead", sign.dead),
        ("weak", sign.weak),
        ("stuck on", sign.stuck_on),
        ("wrong reading", sign.reads_wrong),
    ):
        if things:
            said.append(seen_words(effect, things_words(result, things)))
    if sign.blows:
        fuses = tuple(sorted(sign.blows))
        said.append(blows_words(fuses, named_or_counted(fuses, NAMED)))
    return "; ".join(said)


MANY_OF_KIND = {
    "lamp": mark("lamps"),
    "motor": mark("motors"),
    "solenoid": mark("solenoids"),
    "injector": mark("injectors"),
    "ignition coil": mark("ignition coils"),
    "horn": mark("horns"),
    "heater": mark("heaters"),
    "load": mark("loads"),
    "sensor": mark("sensors"),
    "controller": mark("controllers"),
    "display": mark("displays"),
    "relay": mark("relays"),
    "starter": mark("starters"),
    "switch": mark("switches"),
}
"""Several devices of a kind."""


def things_words(result: Result, things: tuple[tuple[str, ...], ...]) -> str:
    """Several things by their titles; many of one kind are counted: '5 ignition coils'."""
    known, devices = loads(result), result.vehicle.devices
    kinds = {devices[known[load].device].kind for named in things for load in named}
    if len(things) >= NAMED and len(kinds) == 1 and (kind := kinds.pop()) in MANY_OF_KIND:
        return f"{len(things)} {say(MANY_OF_KIND[kind])}"
    return named_or_counted(unique(thing_words(result, named) for named in things), NAMED)


def thing_words(result: Result | FaultTable, named: tuple[str, ...]) -> str:
    """A device by its title, a single load of it also by what is seen of it."""
    known = loads(result)
    device = result.vehicle.devices[known[named[0]].device]
    if len({known[load].device for load in named}) > 1:
        return say("everything")
    if len(named) == len(device.loads):
        return device.title
    return f"{device.title} ({known[named[0]].what or named[0].partition('.')[2]})"


def cranks(result: Result, state: str) -> bool:
    """True for a state in which a part with the caution 'cranking' draws current."""
    return state in cranked(result.vehicle)

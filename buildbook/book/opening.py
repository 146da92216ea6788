"""An entry of the trackside pages as printed: its questions, where each is, and who is who."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from buildbook.book.fault_trees import FIRST, off, reading_words, where_asked
from buildbook.book.fault_wording import (
    hazards,
    manner_of,
    on_body_words,
    splice_words,
    thing_words,
)
from buildbook.book.pocket_step import PocketStep
from buildbook.book.shared_rows import unique
from buildbook.catalogue.load import colours
from buildbook.drawing.faces.panel import TERMINALS, columns_of, mounted
from buildbook.drawing.faces.spot import fuse_spot, plug_spot, relay_spot
from buildbook.drawing.shared.model import Drawing
from buildbook.faultfinding.model import ALTERNATING, SWINGS, Cause, Entry, Fault, Step
from buildbook.result import Result
from buildbook.vehicle.model import Device, Pin
from buildbook.words.say import mark, say, say_n

READ = {
    SWINGS: mark(" (it swings: take the middle)"),
    ALTERNATING: mark(" (meter on AC)"),
}
"""How volts are read that do not stand still."""
NAMED = 4
"""Parts that an end names; of more the rest are counted."""
CURED = 3
"""Kinds of part whose cure an opening tells: the likeliest of those that its ends name."""
ONLY_NUT = "stud"
"""What the one pin of a ground is called: nobody at the car reads it on anything."""
WELL_V = 0.5
"""An answer this near to a healthy vehicle's is called so. Our choice."""


@dataclass(frozen=True)
class Opening:
    """An entry with all that its page says."""

    number: int
    anchor: str
    name: str
    group: str
    state: str
    about: str
    cautions: tuple[str, ...]
    causes: tuple[Cause, ...]
    steps: tuple[PocketStep, ...]
    likely: str
    cures: tuple[str, ...]
    """Kinds of part that fail here, likeliest first."""
    who: tuple[tuple[str, str], ...]
    """Code and title of every device that the opening names."""
    less_likely: int


def openings(result: Result) -> tuple[Opening, ...]:
    """All entries in the order of the page."""
    return tuple(opening(result, n, e) for n, e in enumerate(result.faultfinding.entries, 1))


def opening(result: Result, number: int, entry: Entry) -> Opening:
    """One entry in words."""
    known = result.faultfinding.faults
    steps = pocket_steps(result, entry)
    state = next((s.state for s in entry.steps if not off(s)), entry.state)
    texts = [text for s in steps for text in (s.ask, s.low_then, s.high_then)]
    likely = parts(result, entry.suspects[:FIRST] if steps else entry.suspects, FIRST)
    ends = {*named_suspects(entry)}
    kinds = unique(cure_of(result, known[f]) for f in entry.suspects if f in ends)
    dangers = [cause.caution for cause in entry.causes if cause.caution]
    dangers += [*hazards(result, entry.steps, named_suspects(entry))]
    return Opening(
        number,
        str(number),
        f"{entry.name[:1].upper()}{entry.name[1:]}",
        say(entry.group),
        state,
        result.vehicle.description.states[state].about,
        unique(dangers),
        entry.causes,
        steps,
        likely,
        kinds[:CURED],
        who_is_who(result, [*texts, likely]),
        entry.less_likely,
    )


def named_suspects(entry: Entry) -> tuple[str, ...]:
    """Those that the opening names at its ends."""
    questions = {frozenset((*s.low, *s.high)) for s in entry.steps}
    ends = [side for s in entry.steps for side in (s.low, s.high)] or [entry.suspects]
    return unique(f for end in ends if frozenset(end) not in questions for f in end[:NAMED])


def pocket_steps(result: Result, entry: Entry) -> tuple[PocketStep, ...]:
    """Its steps, numbered; what leads to no step leads to suspects."""
    number = {frozenset((*s.low, *s.high)): n for n, s in enumerate(entry.steps, 1)}

    def then(left: Sequence[str]) -> str:
        later = number.get(frozenset(left))
        return f"» {later}" if later else parts(result, left)

    found: list[PocketStep] = []
    for n, step in enumerate(entry.steps, 1):
        low, high = reading_words(step)
        state = "" if off(step) else step.state
        pocket = PocketStep(
            n,
            asked(result, step),
            wire_words(result, step.node) if step.by_meter else "",
            step.what in ("look", "click", "feel"),
            state,
            picture(result, step),
            low,
            then(step.low),
            high,
            then(step.high),
            well_side(result, step),
            hung_into=bool(found) and found[-1].hangs,
        )
        found.append(pocket)
    return tuple(found)


def well_side(result: Result, step: Step) -> str:
    """Which of the two answers a vehicle gives that nothing is wrong with."""
    if step.what in ("look", "click"):
        return "high"
    reading = result.readings[step.state].at(step.node) if step.what == "volts" else None
    if reading is None or reading.volts is None:
        return ""
    shown = reading.volts.nominal
    lows, highs = step.low_range or (step.low_v,) * 2, step.high_range or (step.high_v,) * 2
    away = {
        side: max(0.0, least - shown, shown - most)
        for side, (least, most) in (("low", lows), ("high", highs))
    }
    nearest = min(away, key=lambda side: away[side])
    return nearest if away[nearest] <= WELL_V else ""


def asked(result: Result, step: Step) -> str:
    """What to do in words that need no key: where somebody stands, what they touch."""
    devices = result.vehicle.devices
    if step.what == "look":
        return say("Look: does {thing} work?", thing=thing_words(result, (step.node,)))
    if step.what == "click":
        relay = f"{step.node} ({devices[step.node].what_it_is})"
        return say("Finger on {relay}; go from “{state}” to", relay=relay, state=step.other)
    if step.what == "swap":
        part = f"{step.node} ({devices[step.node].what_it_is})"
        if step.other:
            return say("Change {part} for {other}, which is the same", part=part, other=step.other)
        return say("Change {part} for a spare of its rating", part=part)
    if not step.by_meter or "ohms" in step.what and step.other:
        return where_asked(result, step)
    probe = say("Probe on {place}", place=place_words(result, step.node))
    return probe + (say(READ[step.other]) if step.other in READ else "")


def place_words(result: Result, node: str) -> str:
    """A pin by what it belongs to: 'fuse F24 (Coils), its out blade'."""
    name, vehicle = node.removesuffix("~"), result.vehicle
    pin_id, _, half = name.partition("/")
    device = vehicle.devices.get(pin_id.partition(".")[0])
    cavity = pin_id.partition(".")[2]
    if half and device is not None:
        there = f"{device.id} ({device.what_it_is})"
        return say("{device}, cavity {cavity}, {half} half", device=there, cavity=cavity, half=half)
    pin = vehicle.pins.get(pin_id)
    if pin is None or device is None:
        splice = result.harness.splices.get(pin_id)
        return splice_words(pin_id, splice.point) if splice else on_body_words(pin_id)
    return _pin_place(device, pin)


def _pin_place(device: Device, pin: Pin) -> str:
    """A pin by the device that it is of."""
    there = f"{device.id} ({device.what_it_is})"
    if pin.stud and device.kind == "fuse":
        return say("fuse {fuse}, its own tag at nut {nut}", fuse=there, nut=pin.name)
    if pin.stud and pin.name == ONLY_NUT:
        return say("{device}, its nut", device=there)
    if pin.stud:
        return say("{device}, nut {nut}", device=there, nut=pin.name)
    if device.kind == "fuse":
        return say("fuse {fuse}, top, {name} blade", fuse=there, name=pin.name)
    if device.kind == "relay" and not pin.plug:
        return say("relay {relay}, foot {name}", relay=there, name=pin.name)
    return say("plug of {device}, pin {name}", device=there, name=pin.name)


def wire_words(result: Result, node: str) -> str:
    """Wires at a node: number and colours in words."""
    name = node.removesuffix("~").partition("/")[0]
    half = node.partition("/")[2]
    there = result.harness.wire_at.get(node.removesuffix("~"), ())
    if not there and half:
        passing = (p for p in result.harness.pass_pins if f"{p.device}.{p.cavity}" == name)
        there = tuple(p.wires[half] for p in passing if half in p.wires)
    wires = [result.harness.wires[w] for w in there][:2]
    return ", ".join(f"{w.id} {colour_words(w.colour)}" for w in wires)


def colour_words(code: str) -> str:
    """'RD/WH' as 'red/white' (IEC 60757)."""
    known = colours()
    return "/".join(
        say(known[part][0].lower()) if part in known else part for part in code.split("/")
    )


def picture(result: Result, step: Step) -> Drawing | None:
    """The place of a question, small; None where there is nothing to draw."""
    vehicle = result.vehicle
    if step.what in ("swap", "click"):
        return _device_picture(result, step.node, "")
    if not step.by_meter:
        return None
    pin_id, _, half = step.node.removesuffix("~").partition("/")
    own, _, cavity = pin_id.partition(".")
    if half:
        passing = next(p for p in vehicle.pass_throughs if p.device == own)
        return plug_spot(passing.plug_type, passing.plug, cavity, half != passing.sockets)
    pin = vehicle.pins.get(pin_id)
    if pin is None or pin.stud:
        return None
    device = vehicle.devices[own]
    if device.kind == "fuse" or (device.kind == "relay" and not pin.plug):
        return _device_picture(result, own, pin.name)
    for connector in device.connectors:
        if pin in connector.pins:
            return plug_spot(connector.plug_type, connector.plug, pin.cavity or pin.name)
    return None


def _device_picture(result: Result, name: str, pin: str) -> Drawing | None:
    """A fuse on its panel, or a relay's foot."""
    device = result.vehicle.devices[name]
    if device.kind == "relay":
        own = tuple(t for t in TERMINALS if any(p.name == t for p in device.pins))
        return relay_spot(own, pin) if own and pin else None
    if not device.panel or any(p.stud for p in device.pins):
        return None
    panel = result.vehicle.devices[device.panel]
    fuses = plugged_fuses(result, device.panel)
    place = [fuse.id for fuse in fuses].index(name)
    columns = columns_of(result, panel)
    return fuse_spot(panel.id, columns, len(fuses), place, pin or "in")


def plugged_fuses(result: Result, panel: str):  # type: ignore[no-untyped-def]
    """A panel's fuses by slot, as its face draws them."""
    return mounted(result, result.vehicle.devices[panel], "fuse")


def parts(result: Result, faults: Iterable[str], most: int = NAMED) -> str:
    """Suspects by the part that fails, likeliest first; more than `most` are counted.

    A part named alone is open; what else can be wrong with it stands behind it.
    """
    manners: dict[str, dict[str, None]] = {}
    for name in faults:
        fault = result.faultfinding.faults[name]
        ways = manners.setdefault(part_words(result, fault), {})
        ways[manner_of(fault)] = None
    named = [part + manner_words(tuple(ways)) for part, ways in manners.items()]
    said, more = "; ".join(named[:most]), len(named) - most
    if more <= 0:
        return said
    return say_n("{parts}; and {n} less likely", "{parts}; and {n} less likely", more, parts=said)


def manner_words(ways: Sequence[str]) -> str:
    """How else a part may fail than by opening: ' (poor)', or ' (or poor)' where both."""
    others = say(" or ").join(way for way in ways if way)
    if not others:
        return ""
    return say(" (or {ways})", ways=others) if "" in ways else f" ({others})"


def part_words(result: Result, fault: Fault) -> str:
    """A part in words."""
    kind, _, ref = fault.branch.partition(":")
    device = result.vehicle.devices.get(ref.partition(".")[0])
    title = f"{device.id}" if device is not None else ref
    words: dict[str, Callable[[], str]] = {
        "pin": lambda: _pin_words(result, ref),
        "wire": lambda: _wire_words(result, ref),
        "fuse": lambda: say("{fuse} blown or not seated", fuse=title),
        "ground": lambda: say("bolt of ground {ground}", ground=title),
        "contact": lambda: say("contact inside {device}", device=title),
        "load": lambda: say("{device} itself", device=title),
        "bus": lambda: say("joint inside {device}", device=title),
        "source": lambda: say("output {name}", name=ref),
    }
    if kind in words:
        return words[kind]()
    return say("the battery") if fault.kind == "battery" else say("the alternator")


def _wire_words(result: Result, wire: str) -> str:
    colour = colour_words(result.harness.wires[wire].colour)
    return say("wire {wire} {colour}", wire=wire, colour=colour)


def _pin_words(result: Result, ref: str) -> str:
    pin, name = result.vehicle.pins.get(ref), ref.partition(".")
    if pin is None:
        return say("{device} cavity {cavity}", device=name[0], cavity=name[2])
    kind = result.vehicle.devices[pin.device].kind
    if pin.stud:
        return say("nut {name}", name=name[0] if pin.name == ONLY_NUT else ref)
    if kind == "fuse" and not pin.plug:
        return say("seat {name}", name=ref)
    if kind == "relay" and not pin.plug:
        return say("foot {name}", name=ref)
    return say("pin {name}", name=ref)


def cure_of(result: Result, fault: Fault) -> str:
    """The kind of cure that a fault has, one of `templates/cures.html`."""
    if fault.mode in ("short", "stuck"):
        return fault.mode
    pin = result.vehicle.pins.get(fault.branch.partition(":")[2])
    if fault.kind == "pin":
        return "nut" if pin is not None and pin.stud else "pin"
    return fault.kind


def cure_names() -> dict[str, str]:
    """What a part is called before its cure, by the kind of the cure."""
    return {
        "pin": say("pin", context="cure"),
        "nut": say("nut", context="cure"),
        "ground": say("ground", context="cure"),
        "fuse": say("fuse", context="cure"),
        "contact": say("contact", context="cure"),
        "stuck": say("stuck", context="cure"),
        "load": say("load", context="cure"),
        "wire": say("wire", context="cure"),
        "short": say("short", context="cure"),
        "bus": say("bus", context="cure"),
        "battery": say("battery", context="cure"),
        "alternator": say("alternator", context="cure"),
        "source": say("source", context="cure"),
    }


def who_is_who(result: Result, texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Every device whose code stands in a text without its title beside it, and says less."""
    whole = " ".join(texts)
    said = {*re.findall(r"[\w-]+", whole)}
    return tuple(
        (device.id, device.title)
        for device in result.vehicle.devices.values()
        if device.id in said and f"{device.id} ({device.what_it_is})" not in whole
        if {*device.title.lower().split()} - {*device.id.lower().split("-")}
    )

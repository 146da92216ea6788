"""What the author has waived: which findings a waiver speaks of, and waivers that match none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.checks.places import where_of, written_at
from buildbook.checks.registry import RULES
from buildbook.checks.stages import Assessed
from buildbook.description.suggest import nearest_first
from buildbook.words.joined import few_of
from buildbook.words.say import say

UNUSED = "waiver-unused"
"""The rule of what is found of waivers themselves."""
MOST_NAMES, MOST_RULES = 5, 3
"""Names, and rules, that are told for a waiver which matches nothing."""


def with_waivers(
    found: Iterable[Finding], assessed: Assessed
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Return the findings with the author's reasons, and a note for each waiver unused."""
    waivers = assessed.vehicle.description.waivers
    reasons = {(w.rule, w.about): w.because for w in waivers}
    places = {(w.rule, w.about): index for index, w in enumerate(waivers)}
    purposes = _purposes(assessed)
    meant: set[tuple[str, str]] = set()
    matched: set[tuple[str, str]] = set()
    marked = []
    for finding in found:
        own = [(finding.rule, name) for name in names_of(assessed, finding.about)]
        waived = [key for key in own if key in reasons]
        matched.update(waived)
        here = [(finding.rule, place) for place in _places(own)]
        purpose = [key for key in here if key in purposes]
        meant.update(purpose)
        because = reasons[waived[0]] if waived else purposes[purpose[0]] if purpose else ""
        marked.append(replace(finding, waived=because) if because else finding)
    idle = tuple(
        Finding(
            UNUSED,
            "note",
            about,
            say("The waiver of {rule} for {about} matches no finding.", rule=rule, about=about),
            _what_would_match(rule, about, marked, assessed),
            say("this description"),
            written_at(assessed.vehicle, "waivers", places[rule, about], "about"),
        )
        for rule, about in reasons
        if (rule, about) not in matched
    )
    gone = tuple(
        Finding(
            UNUSED,
            "note",
            about,
            say(
                "`on purpose` of {about} names {rule}, and that is not found there.",
                about=about,
                rule=rule,
            ),
            say("Take it out, or see why what was meant so is otherwise now."),
            say("this description"),
            where_of(assessed.vehicle, about),
        )
        for rule, about in purposes
        if (rule, about) not in meant
    )
    return tuple(marked), (*idle, *gone)


def _what_would_match(rule: str, about: str, found: Iterable[Finding], assessed: Assessed) -> str:
    """What to do about a waiver that matches nothing: the names that would, the nearest first."""
    if rule not in (known := [rule.id for rule in RULES]):
        near = ", ".join(nearest_first(rule, known)[:MOST_RULES])
        return say("There is no such rule; the nearest are {names}.", names=near)
    free = [names_of(assessed, f.about) for f in found if f.rule == rule and not f.waived]
    if not free:
        return say("Take the waiver out: {rule} finds nothing that is not waived.", rule=rule)
    names = nearest_first(about, (nearest_first(about, own)[0] for own in free))
    return say(
        "Correct what it is about, or take it out. Of {rule} would match: {names}.",
        rule=rule,
        names=few_of(names, MOST_NAMES),
    )


def _purposes(assessed: Assessed) -> dict[tuple[str, str], str]:
    """Rule and device or circuit -> why what is found there is meant so."""
    vehicle = assessed.vehicle
    said = {name: device.written.on_purpose for name, device in vehicle.devices.items()}
    for name, circuit in vehicle.circuits.items():
        said[name] = {**said.get(name, {}), **circuit.written.on_purpose}
    return {(rule, name): because for name, here in said.items() for rule, because in here.items()}


def _places(own: list[tuple[str, str]]) -> list[str]:
    """Names that a finding goes by, and of pins, loads and contacts the device."""
    names = [name for _, name in own]
    return list(dict.fromkeys((*names, *(name.partition(".")[0] for name in names))))


def names_of(assessed: Assessed, about: str) -> tuple[str, ...]:
    """What a waiver may call the thing that a finding is about, its own name first.

    Numbers of wires, splices and contacts of pass-throughs shift when a circuit is added; the
    circuit's name and the pins at the ends stay.
    """
    harness = assessed.harness
    wires = [harness.wires[about]] if about in harness.wires else []
    circuits = [wire.circuit for wire in wires]
    if about in harness.splices:
        circuits.append(harness.splices[about].circuit)
    elif "/" in about or about.endswith(".cap"):
        circuits += [harness.wires[wire].circuit for wire in harness.wire_at.get(about, ())]
    pins = [end.node for wire in wires for end in (wire.a, wire.b) if end.kind == "pin"]
    by_use = [name for pin in (about, *pins) if (name := _by_use(assessed, pin))]
    return tuple(dict.fromkeys((about, *circuits, *pins, *by_use)))


def _by_use(assessed: Assessed, name: str) -> str:
    """A pin by what it is for, as everywhere the first of those for the same; '' for others."""
    pin = assessed.vehicle.pins.get(name)
    if pin is None or not pin.use:
        return ""
    own = assessed.vehicle.devices[pin.device].pins
    first = next(other for other in own if other.use == pin.use)
    return f"{pin.device}.{pin.use}" if first.id == name else ""

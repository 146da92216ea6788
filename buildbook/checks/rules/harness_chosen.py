"""Finds circuits that run in one harness where another would do as well or spare a contact."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.harness.choices import is_as_long, spares_a_contact, ways
from buildbook.harness.rope import lay_rope
from buildbook.harness.route import Way
from buildbook.vehicle.model import Circuit
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "harness-chosen"
SEVERITY = "note"
SOURCE = f"{PRACTICE}: who builds a harness decides which wires are in it"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Only where neither the author nor what was built has decided, and it makes a difference."""
    vehicle = assessed.vehicle
    lies: dict[str, set[str]] = {}
    built: set[str] = set()
    for wire in assessed.harness.wires.values():
        lies.setdefault(wire.circuit, set()).add(wire.harness)
        built |= {wire.circuit} if wire.built_size else set()
    open_ones = [c for c in vehicle.circuits.values() if not c.written.harness]
    rope = lay_rope(vehicle) if len({run.harness for run in vehicle.runs}) > 1 else None
    found = {c.id: ways(vehicle, rope, c) for c in open_ones if rope and c.id not in built}
    ties = {id_ for id_, ways_of in found.items() if _ties(ways_of)}
    for id_, several in found.items():
        if len(several) < 2 or set(several[0].harnesses) != lies.get(id_):
            continue  # forced, or led elsewhere because a pass-through is full
        circuit = vehicle.circuits[id_]
        beside = _beside(assessed, circuit, ties, lies)
        yield from _told(circuit, several, beside)


def _ties(several: tuple[Way, ...]) -> bool:
    return any(is_as_long(several[0], way) for way in several[1:])


def _beside(
    assessed: Assessed, circuit: Circuit, ties: set[str], lies: dict[str, set[str]]
) -> dict[str, set[str]]:
    """Circuits of the same family of wire at the same devices -> the harnesses they run in."""
    devices = {pin.device for pin in circuit.pins}
    return {
        other.id: lies[other.id]
        for other in assessed.vehicle.circuits.values()
        if other.id not in (*ties, circuit.id)
        and other.id in lies
        and other.written.family == circuit.written.family
        and devices & {pin.device for pin in other.pins}
    }


def _told(
    circuit: Circuit, several: tuple[Way, ...], beside: dict[str, set[str]]
) -> Iterator[Finding]:
    """The first other way that is worth a word."""
    taken = several[0]
    for other in several[1:]:
        others = set().union(*beside.values())
        if is_as_long(taken, other):
            if not beside or not others <= set(other.harnesses) or others & set(taken.harnesses):
                continue
            text = say(
                "{circuit} is laid in {here} only because that is described first: in {there} it "
                "is as short, and there run wires of the same family from its devices ({beside}).",
                circuit=circuit.id,
                here=all_of(taken.harnesses),
                there=all_of(other.harnesses),
                beside=all_of(list(beside)[:3]),
            )
        elif spares_a_contact(taken, other):
            text = say(
                "{circuit} crosses {gates} from harness to harness ({here}, {way}); in {there} it "
                "would need {longer} more of rope and no contact there.",
                gates=all_of([g for g in taken.route.throughs if g not in other.route.throughs]),
                **_said(circuit, taken, other),
            )
        elif taken.rope_m > other.rope_m:
            text = say(
                "{circuit} runs in {here} ({way}) to spare a contact of {gates}, and would be "
                "{longer} shorter in {there}.",
                gates=all_of([g for g in other.route.throughs if g not in taken.route.throughs]),
                **_said(circuit, taken, other),
            )
        else:
            continue
        yield Finding(
            RULE, SEVERITY, circuit.id, text, _remedy(taken, other), SOURCE, circuit.where
        )
        return


def _said(circuit: Circuit, taken: Way, other: Way) -> dict[str, str]:
    return {
        "circuit": circuit.id,
        "here": all_of(taken.harnesses),
        "way": length(taken.rope_m),
        "there": all_of(other.harnesses),
        "longer": length(abs(other.rope_m - taken.rope_m)),
    }


def _remedy(taken: Way, other: Way) -> str:
    names = {"taken": taken.harness, "other": other.harness}
    if is_as_long(taken, other):
        return say(
            "Nothing else decides: say where the wire belongs, `harness: {other}` or "
            "`harness: {taken}` of its circuit.",
            **names,
        )
    return say(
        "Write `harness: {other}` at the circuit where that is meant, and `harness: {taken}` where "
        "it is not; `buildbook show` tells how each would run.",
        **names,
    )

"""Finds two devices alike, left and right or of one kind and plug, whose wires are crossed."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.left_and_right import alike, left_and_right, mirrored
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "twins-swapped"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: what is on both sides of a vehicle is wired alike on both"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A circuit on one pin of the left one and on another pin of the right one.

    Circuits that differ in 'left' and 'right' alone are taken for one.
    """
    vehicle = assessed.vehicle
    pairs = {frozenset({b.id, a.id}): (a, b) for a, b in alike(vehicle)}
    pairs |= {frozenset({b.id, a.id}): (a, b) for a, b in left_and_right(vehicle)}
    for left, right in pairs.values():
        first, second = _by_circuit(assessed, left), _by_circuit(assessed, right)
        crossed = [
            (circuit, first[circuit], second[circuit])
            for circuit in sorted(first.keys() & second.keys())
            if not first[circuit] & second[circuit]
        ]
        if crossed:
            joined = [
                say(
                    "'{circuit}' joins pin {here} of {left} and pin {there} of {right}",
                    circuit=circuit,
                    here=", ".join(sorted(here)),
                    left=left.id,
                    there=", ".join(sorted(there)),
                    right=right.id,
                )
                for circuit, here, there in crossed
            ]
            yield Finding(
                RULE,
                "warning",
                right.id,
                say(
                    "{left} and {right} are wired differently, as if crossed: {joined}.",
                    left=left.title,
                    right=right.title,
                    joined="; ".join(joined),
                ),
                say(
                    "Read the data sheet again and join the same pins of both: exchange the "
                    "two wires of the one that is wrong, {left} or {right}.",
                    left=left.id,
                    right=right.id,
                ),
                SOURCE,
                right.where,
            )


def _by_circuit(assessed: Assessed, device: Device) -> dict[str, frozenset[str]]:
    """Circuit, as it would be called on the left -> names of the device's pins that it joins."""
    found: dict[str, set[str]] = {}
    for pin in device.pins:
        for circuit in circuits_at(assessed.vehicle, pin.id):
            found.setdefault(mirrored(circuit), set()).add(pin.name)
    return {circuit: frozenset(pins) for circuit, pins in found.items()}

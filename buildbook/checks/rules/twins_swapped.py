"""Finds two devices alike, left and right or of one kind and plug, whose wires are crossed."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.left_and_right import alike, left_and_right, mirrored
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Device

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
                f"'{circuit}' joins pin {', '.join(sorted(here))} of {left.id} and pin "
                f"{', '.join(sorted(there))} of {right.id}"
                for circuit, here, there in crossed
            ]
            yield Finding(
                RULE,
                "warning",
                right.id,
                f"{left.title} and {right.title} are wired differently, as if crossed: "
                f"{'; '.join(joined)}.",
                "Read the data sheet again and join the same pins of both: exchange the two wires "
                f"of the one that is wrong, {left.id} or {right.id}.",
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

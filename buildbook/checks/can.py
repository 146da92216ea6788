"""CAN pairs and what terminates them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from buildbook.checks.context import Context, loads
from buildbook.harness.bus import apart_m
from buildbook.vehicle.model import Circuit, Load

LEAST_OHMS, MOST_OHMS = 100.0, 130.0
"""Of a terminating resistor: ISO 11898-2, from memory."""
STUB_M = 0.3
"""Longest branch off the line at 1 Mbit/s: ISO 11898-2, from memory."""


def can_pairs(context: Context) -> Iterator[tuple[str, Circuit, Circuit]]:
    """Cable, high and low wire of each twisted pair that is a CAN bus by its name or resistors."""
    circuits = context.vehicle.circuits
    for name, cable in context.vehicle.description.cables.items():
        pair = [circuits[c] for c in cable.cores if c in circuits]
        if cable.type != "twisted pair" or len(pair) != 2:
            continue
        if is_can(name, pair) or terminators(context, *pair):
            high, low = sorted(pair, key=_is_low)
            yield name, high, low


def _is_low(circuit: Circuit) -> bool:
    """Whether 'low' or 'L' stands in a circuit's name or a pin's use."""
    texts = [circuit.id, *(pin.use for pin in circuit.pins)]
    return any(re.search(r"(?<![a-z])(l|low)(?![a-z])", text.lower()) for text in texts)


def terminators(context: Context, one: Circuit, other: Circuit) -> list[Load]:
    """Resistors of 100 to 130 ohm between two circuits."""
    first, second = ({pin.id for pin in circuit.pins} for circuit in (one, other))
    return [
        load
        for _, load in loads(context.vehicle)
        if LEAST_OHMS <= load.ohms <= MOST_OHMS
        and any(
            load.from_pin in a and load.to_pin in b for a, b in ((first, second), (second, first))
        )
    ]


def is_can(cable: str, pair: list[Circuit]) -> bool:
    """Whether 'CAN' or 'data bus' stands in the cable's or a circuit's name or a pin's use."""
    texts = [cable, *(c.id for c in pair), *(pin.use for c in pair for pin in c.pins)]
    return any(re.search(r"(?<![a-z])(can|data bus)(?![a-z])", text.lower()) for text in texts)


@dataclass(frozen=True)
class Line:
    """One circuit of a bus as it lies in the car: metres along the wire between its devices."""

    apart_m: dict[str, dict[str, float]]
    """Device -> every device that its wire reaches -> length of the wire between them."""

    def stub_m(self, device: str, one: str, other: str) -> float:
        """Wire from a device to where it meets the wire between two others."""
        along = self.apart_m[one][other]
        return (self.apart_m[device][one] + self.apart_m[device][other] - along) / 2

    def reaches(self, *devices: str) -> bool:
        """Whether the wire joins all of these devices."""
        return all(other in self.apart_m.get(devices[0], {}) for other in devices)

    def furthest_past(self, device: str, one: str, other: str) -> tuple[float, str, str]:
        """How much farther a device is from an end of the line than the other end is.

        With the end that it goes past, and the one that it is measured from.
        """
        away, along = self.apart_m[device], self.apart_m[one][other]
        return max((away[other] - along, one, other), (away[one] - along, other, one))


def line_of(context: Context, circuit: Circuit) -> Line:
    """The wire of a circuit through splices and pass-throughs, measured from device to device."""
    return Line(apart_m(context.harness, circuit.id))

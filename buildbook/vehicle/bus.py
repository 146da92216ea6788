"""CAN pairs, the loads across them and what terminates them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.vehicle.model import Circuit, Load, Vehicle

LEAST_OHMS, MOST_OHMS = 100.0, 130.0
"""Of a terminating resistor: ISO 11898-2, from memory."""
LONGEST_STUB_M = 0.3
"""Of a branch off the line at 1 Mbit/s: ISO 11898-2, from memory."""


def can_pairs(vehicle: Vehicle) -> Iterator[tuple[str, Circuit, Circuit]]:
    """Cable, high and low wire of each twisted pair that is a CAN bus by its name or resistors."""
    circuits = vehicle.circuits
    for name, cable in vehicle.description.cables.items():
        pair = [circuits[c] for c in cable.cores if c in circuits]
        if cable.type != "twisted pair" or len(pair) != 2:
            continue
        if is_can(name, pair) or terminators(vehicle, *pair):
            high, low = sorted(pair, key=_is_low)
            yield name, high, low


def _is_low(circuit: Circuit) -> bool:
    """Whether 'low' or 'L' stands in a circuit's name or a pin's use."""
    texts = [circuit.id, *(pin.use for pin in circuit.pins)]
    return any(re.search(r"(?<![a-z])(l|low)(?![a-z])", text.lower()) for text in texts)


def loads_across(vehicle: Vehicle, one: Circuit, other: Circuit) -> list[Load]:
    """Every load of a fitted device from a pin of one circuit to a pin of the other."""
    first, second = ({pin.id for pin in circuit.pins} for circuit in (one, other))
    return [
        load
        for device in vehicle.devices.values()
        if device.written.fitted == "yes"
        for load in device.loads
        if any(
            load.from_pin in a and load.to_pin in b for a, b in ((first, second), (second, first))
        )
    ]


def terminators(vehicle: Vehicle, one: Circuit, other: Circuit) -> list[Load]:
    """Resistors of 100 to 130 ohm between two circuits."""
    across = loads_across(vehicle, one, other)
    return [load for load in across if LEAST_OHMS <= load.ohms <= MOST_OHMS]


def is_can(cable: str, pair: list[Circuit]) -> bool:
    """Whether 'CAN' or 'data bus' stands in the cable's or a circuit's name or a pin's use."""
    texts = [cable, *(c.id for c in pair), *(pin.use for c in pair for pin in c.pins)]
    return any(re.search(r"(?<![a-z])(can|data bus)(?![a-z])", text.lower()) for text in texts)

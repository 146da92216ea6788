"""CAN pairs and what terminates them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.context import Context, loads
from buildbook.vehicle.model import Circuit, Load

LEAST_OHMS, MOST_OHMS = 100.0, 130.0
"""Of a terminating resistor: ISO 11898-2, from memory."""


def can_pairs(context: Context) -> Iterator[tuple[str, Circuit, Circuit]]:
    """Cable and both circuits of each twisted pair that is a CAN bus by its name or resistors."""
    circuits = context.vehicle.circuits
    for name, cable in context.vehicle.description.cables.items():
        pair = [circuits[c] for c in cable.cores if c in circuits]
        if cable.type != "twisted pair" or len(pair) != 2:
            continue
        if is_can(name, pair) or terminators(context, *pair):
            yield name, pair[0], pair[1]


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

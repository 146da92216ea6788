"""Finds CAN pairs without exactly two terminating resistors."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.context import Context, loads
from buildbook.checks.model import Finding
from buildbook.vehicle.model import Circuit

RULE = "can-termination"
SEVERITY = "error"
SOURCE = "ISO 11898-2: 120 ohm at each end of the line (from memory: 100 to 130 ohm)"
LEAST_OHMS, MOST_OHMS = 100.0, 130.0


def check(context: Context) -> Iterator[Finding]:
    """Count resistors between the two circuits of each twisted pair that is called CAN."""
    circuits = context.vehicle.circuits
    for name, cable in context.vehicle.description.cables.items():
        pair = [circuits[c] for c in cable.cores if c in circuits]
        if cable.type != "twisted pair" or len(pair) != 2 or not is_can(name, pair):
            continue
        low, high = ({pin.id for pin in circuit.pins} for circuit in pair)
        ends = [
            load.id
            for _, load in loads(context.vehicle)
            if LEAST_OHMS <= load.ohms <= MOST_OHMS
            and any(load.from_pin in a and load.to_pin in b for a, b in ((low, high), (high, low)))
        ]
        if len(ends) != 2:
            yield Finding(
                RULE, "error", name,
                f"The CAN pair {name} has {len(ends)} terminating resistors"
                f"{' (' + ', '.join(ends) + ')' if ends else ''}; it needs two of 120 ohm.",
                "Fit one at each end of the line and none in between: with all unplugged from "
                "power, a meter across the pair reads 60 ohm.",
                SOURCE, pair[0].where,
            )  # fmt: skip


def is_can(cable: str, pair: list[Circuit]) -> bool:
    """Whether 'CAN' stands as a word in the cable's or a circuit's name or a pin's use."""
    texts = [cable, *(c.id for c in pair), *(pin.use for c in pair for pin in c.pins)]
    return any(re.search(r"(?<![a-z])can(?![a-z])", text.lower()) for text in texts)

"""Finds CAN branches that are too long."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.can import can_pairs, terminators
from buildbook.checks.context import Context
from buildbook.checks.model import Finding
from buildbook.figures import length

RULE = "can-stub"
SEVERITY = "warning"
SOURCE = "ISO 11898-2: a branch off the line is at most 0.3 m at 1 Mbit/s (from memory)"
MOST_M = 0.3


def check(context: Context) -> Iterator[Finding]:
    """Measure from the splice to each device that has no terminating resistor."""
    for name, low, high in can_pairs(context):
        ends = {load.device for load in terminators(context, low, high)}
        for wire in context.harness.wires.values():
            if wire.circuit != high.id or wire.cut_m <= MOST_M:
                continue
            for pin_end, splice_end in ((wire.a, wire.b), (wire.b, wire.a)):
                if pin_end.kind != "pin" or splice_end.kind != "splice":
                    continue
                device = pin_end.node.partition(".")[0]
                if device in ends:
                    continue
                yield Finding(
                    RULE, "warning", pin_end.node,
                    f"The branch of {name} to {device} is {length(wire.cut_m)} long and not "
                    f"terminated; {length(MOST_M)} are allowed.",
                    f"Put the splice closer to {device} (splice at), run the line through it, or "
                    "run the bus slower: at 500 kbit/s twice as much is safe.",
                    SOURCE, high.where,
                )  # fmt: skip

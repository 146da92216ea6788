"""Finds cable screens that are not grounded at exactly one end."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import counted

RULE = "screen-ground"
SEVERITY = "error or warning"
SOURCE = f"{PRACTICE}: a screen of a low-frequency signal is grounded at one end"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A screen joins one pin; its other end is insulated."""
    for circuit in assessed.vehicle.circuits.values():
        if not circuit.is_screen or len(circuit.pins) == 1:
            continue
        pins = ", ".join(pin.id for pin in circuit.pins)
        ends = f"at {counted(len(circuit.pins), 'end')} ({pins})" if pins else "nowhere"
        yield Finding(
            RULE,
            "error" if not circuit.pins else "warning",
            circuit.id,
            f"The screen '{circuit.id}' of {circuit.cable or 'its cable'} is joined {ends}; it "
            "should be at one.",
            "Join it at the controller only; cut it back and insulate it at the sensor "
            "(capped at).",
            SOURCE,
            circuit.where,
        )

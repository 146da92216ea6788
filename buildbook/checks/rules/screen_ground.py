"""Finds cable screens that are not grounded at exactly one end."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "screen-ground"
SEVERITY = "error or warning"
SOURCE = f"{PRACTICE}: a screen of a low-frequency signal is grounded at one end"


def check(assessed: Assessed) -> Iterator[Finding]:
    """A screen joins one pin; its other end is insulated."""
    for circuit in assessed.vehicle.circuits.values():
        if not circuit.is_screen or len(circuit.pins) == 1:
            continue
        said = {"circuit": circuit.id, "cable": circuit.cable or say("its cable")}
        pins = ", ".join(pin.id for pin in circuit.pins)
        yield Finding(
            RULE,
            "error" if not circuit.pins else "warning",
            circuit.id,
            say(
                "The screen '{circuit}' of {cable} is joined at {n} ends ({pins}); it should be at "
                "one.",
                n=len(circuit.pins),
                pins=pins,
                **said,
            )
            if pins
            else say(
                "The screen '{circuit}' of {cable} is joined nowhere; it should be at one.", **said
            ),
            say(
                "Join it at the controller only; cut it back and insulate it at the sensor "
                "(capped at)."
            ),
            SOURCE,
            circuit.where,
        )

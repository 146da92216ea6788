"""Finds devices whose name says one side and whose place is on the other."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, words
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.vehicle.model import Device
from buildbook.words.say import mark, say

RULE = "sides-crossed"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: left and right are copied from each other, and one word is forgotten"
SIDES = frozenset({mark("left", context="side"), mark("right", context="side")})
MIDDLE_M = 0.05
"""This near the middle of the plan a place has no side. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the side in a device's name with its point's name, then with the plan.

    What works both sides from one place is named by what it does: switches, fuses and relays.
    """
    for device in assessed.vehicle.devices.values():
        side = _side(device.id, device.title)
        if not side or device.panel or device.kind in ("switch", "controller", "pass-through"):
            continue
        wrong = _wrong_place(assessed, device, side)
        if wrong:
            yield Finding(
                RULE,
                "warning",
                device.id,
                say(
                    "{device} is called {side}, but its place is {wrong}.",
                    device=called(device.title, device.id),
                    side=say(side, context="side"),
                    wrong=wrong,
                ),
                say("Correct its place (at), or its name if it is the left one.")
                if side == "right"
                else say("Correct its place (at), or its name if it is the right one."),
                SOURCE,
                device.where,
            )


def _wrong_place(assessed: Assessed, device: Device, side: str) -> str:
    """Why a device's place is on the other side; '' where it is not, or nothing tells."""
    point = _side(device.point)
    if point:
        return "" if point == side else f"`{device.point}`"
    plan = assessed.vehicle.description.plan
    if plan is None or device.point not in plan.places:
        return ""
    right_m = plan.places[device.point][1]
    if abs(right_m) < MIDDLE_M or (right_m > 0) == (side == "right"):
        return ""
    said = {"point": device.point, "far": length(abs(right_m))}
    if side == "right":
        return say("`{point}`, {far} left of the middle on the plan", **said)
    return say("`{point}`, {far} right of the middle on the plan", **said)


def _side(*names: str) -> str:
    """'left' or 'right' where names say one of the two."""
    said = SIDES & set(words(*names))
    return min(said) if len(said) == 1 else ""

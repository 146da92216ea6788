"""Finds switch, relay and driver contacts and regulated outputs above their limit."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.rated_parts import is_output, largest_a
from buildbook.vehicle.model import Device
from buildbook.words.say import mark, say

RULE = "contact-overloaded"
SEVERITY = "error"
SOURCE = "the limit in this description, from the device's data sheet"
SUPPLY = "supply"
OUTPUT = mark(
    "Output {about} of {device} carries {carries_a} A in '{state}'; its limit is {limit_a} A."
)
CARRIES = {
    "switch": mark(
        "Switch contact {about} of {device} carries {carries_a} A in '{state}'; its limit is "
        "{limit_a} A."
    ),
    "relay": mark(
        "Relay contact {about} of {device} carries {carries_a} A in '{state}'; its limit is "
        "{limit_a} A."
    ),
    "driver": OUTPUT,
    "pull-down": OUTPUT,
    "cut-out": mark(
        "Cut-out {about} of {device} carries {carries_a} A in '{state}'; its limit is {limit_a} A."
    ),
    SUPPLY: mark(
        "Supply {about} of {device} carries {carries_a} A in '{state}'; its limit is {limit_a} A."
    ),
}


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the largest current of each contact and source with its limit."""
    for device in assessed.vehicle.devices.values():
        limits = [(c.id, f"contact:{c.id}", c.limit_a, str(c.kind)) for c in device.contacts]
        limits += [
            (s.id, f"source:{s.id}", s.limit_a, SUPPLY) for s in device.sources if is_output(s)
        ]
        for about, branch, limit, kind in limits:
            current, state = largest_a(assessed.solved, branch)
            if limit is None or current <= limit * (1 + 1e-6):
                continue
            yield Finding(
                RULE,
                "error",
                about,
                say(
                    CARRIES[kind],
                    about=about,
                    device=device.title,
                    carries_a=significant(current, 3),
                    state=state,
                    limit_a=significant(limit, 3),
                ),
                _remedy(device, kind, current),
                SOURCE,
                device.where,
            )


def _remedy(device: Device, kind: str, current_a: float) -> str:
    """No relay is advised for what is one, and none for an isolator's main contact."""
    if kind == SUPPLY:
        return say("Move some of the sensors to another supply.")
    least_a = significant(current_a, 3)
    if kind == "relay":
        return say(
            "Fit a larger relay, rated for {least_a} A or more, or correct its limit (`rating`); "
            "or share the load between two.",
            least_a=least_a,
        )
    if device.kind == "isolator":
        return say(
            "Fit a larger isolator, rated for {least_a} A or more, or correct its limit (`limit`).",
            least_a=least_a,
        )
    return say(
        "Switch the load through a relay, or share it between contacts; or correct the `limit`."
    )

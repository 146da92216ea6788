"""Finds switch, relay and driver contacts and regulated outputs above their limit."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.figures import significant
from buildbook.sizing.rated_parts import is_output, largest_a
from buildbook.vehicle.model import Device

RULE = "contact-overloaded"
SEVERITY = "error"
SOURCE = "the limit in this description, from the device's data sheet"
NAMES = {
    "switch": "Switch contact",
    "relay": "Relay contact",
    "driver": "Output",
    "pull-down": "Output",
    "cut-out": "Cut-out",
}


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the largest current of each contact and source with its limit."""
    for device in assessed.vehicle.devices.values():
        limits = [(c.id, f"contact:{c.id}", c.limit_a, NAMES[c.kind]) for c in device.contacts]
        limits += [
            (s.id, f"source:{s.id}", s.limit_a, "Supply") for s in device.sources if is_output(s)
        ]
        for about, branch, limit, name in limits:
            current, state = largest_a(assessed.solved, branch)
            if limit is None or current <= limit * (1 + 1e-6):
                continue
            yield Finding(
                RULE,
                "error",
                about,
                f"{name} {about} of {device.title} carries {significant(current, 3)} A in "
                f"'{state}'; its limit is {significant(limit, 3)} A.",
                _remedy(device, name, current),
                SOURCE,
                device.where,
            )


def _remedy(device: Device, name: str, current_a: float) -> str:
    """No relay is advised for what is one, and none for an isolator's main contact."""
    if name == "Supply":
        return "Move some of the sensors to another supply."
    larger = f"rated for {significant(current_a, 3)} A or more, or correct its limit"
    if name == "Relay contact":
        return f"Fit a larger relay, {larger} (`rating`); or share the load between two."
    if device.kind == "isolator":
        return f"Fit a larger isolator, {larger} (`limit`)."
    return "Switch the load through a relay, or share it between contacts; or correct the `limit`."

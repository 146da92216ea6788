"""Finds consumers whose current nobody wrote down."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.words.say import say

RULE = "draw-missing"
SEVERITY = "warning"
SOURCE = "this description: wire, fuse and balance are worked out from what each device draws"
CONSUMERS = frozenset(
    {"lamp", "motor", "solenoid", "injector", "ignition coil", "horn", "heater", "starter"}
)


def check(assessed: Assessed) -> Iterator[Finding]:
    """A consumer that is joined and draws nothing."""
    for device in assessed.vehicle.devices.values():
        if device.kind not in CONSUMERS or device.loads or device.written.fitted != "yes":
            continue
        if any(circuits_at(assessed.vehicle, pin.id) for pin in device.pins):
            yield Finding(
                RULE,
                "warning",
                device.id,
                say(
                    "{device} is wired, but draws nothing: its wires and its fuse are "
                    "chosen as if it were not there.",
                    device=called(device.title, device.id),
                ),
                say("Write what it draws (draws: amps, or ohms measured across its pins)."),
                SOURCE,
                device.where,
            )

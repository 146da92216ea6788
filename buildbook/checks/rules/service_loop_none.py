"""Finds terminals without a service loop."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.places import written_at
from buildbook.checks.stages import Assessed
from buildbook.figures import length
from buildbook.words.say import say

RULE = "service-loop-none"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a plug comes out far enough to be worked on, and its wire reaches again"
LEAST_M = 0.01
"""Less than this and a terminal cannot be drawn out of its plug. Our choice."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """The vehicle's loop, and that of each device that has one of its own."""
    if not assessed.harness.wires:
        return
    description = assessed.vehicle.description
    loop_m = description.vehicle.lengths.service_loop
    if loop_m < LEAST_M:
        yield Finding(
            RULE,
            "warning",
            "vehicle",
            say(
                "The service loop at every terminal is {loop}; it should be {least} or "
                "more. Without slack no plug comes out far enough to be worked on, and "
                "every wire pulls at its terminal.",
                loop=length(loop_m),
                least=length(LEAST_M),
            ),
            say("Give the vehicle a service loop of 20 mm (vehicle: lengths: service loop)."),
            SOURCE,
            written_at(assessed.vehicle, "vehicle", "lengths", "service loop"),
        )
    for device in assessed.vehicle.devices.values():
        own_m = device.written.service_loop
        if own_m is not None and own_m < LEAST_M and device.connectors:
            yield Finding(
                RULE,
                "warning",
                device.id,
                say(
                    "{device} has a service loop of {loop}; it should be {least} or more, "
                    "or its plug cannot be drawn out.",
                    device=called(device.title, device.id),
                    loop=length(own_m),
                    least=length(LEAST_M),
                ),
                say(
                    "Give it a longer one, or take its `service loop` out: then it has the "
                    "vehicle's."
                ),
                SOURCE,
                device.where,
            )

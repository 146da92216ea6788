"""Finds inputs of a controller that see more volts than they are made for."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import across
from buildbook.words.say import say

RULE = "input-overvolted"
SEVERITY = "error"
SOURCE = "the volts to which the input is pulled up, in this description; more may destroy it"
ALLOWED_V = 0.5
"""Above the pull-up: what the clamp of an input takes. From memory of data sheets."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each input with a pull-up in every state, as a meter would."""
    for device in assessed.vehicle.devices.values():
        power = device.written.power
        for name, written in device.written.inputs.items():
            pin = f"{device.id}.{name}"
            ground = written.ground or (power.grounds[0] if power else None)
            if ground is None or written.pull_up is None:
                continue
            most = max((written.to, *(s.volts for s in device.written.sources.values())))
            seen = [
                (across(solution, pin, f"{device.id}.{ground}"), state)
                for state, solution in assessed.solved.meter.items()
            ]
            volts, state = max(seen, default=(0.0, ""))
            if volts <= most + ALLOWED_V:
                continue
            yield Finding(
                RULE,
                "error",
                pin,
                say(
                    "Input {pin} of {device} sees {volts:.1f} V in '{state}'; it is made "
                    "for {most:g} V.",
                    pin=pin,
                    device=device.title,
                    volts=volts,
                    state=state,
                    most=most,
                ),
                say("Take it off whatever feeds it, and join the sensor's signal."),
                SOURCE,
                device.where,
            )

"""Finds sensors on a supply that they are not made for."""

from __future__ import annotations

import re
from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import across
from buildbook.figures import decimals
from buildbook.vehicle.model import Device
from buildbook.words.say import say

RULE = "sensor-supply-wrong"
SEVERITY = "error"
SOURCE = "the volts at which the sensor's output holds (gives: of), in this description"
MOST, LEAST = 1.1, 0.85
"""Of the volts it is made for; from data sheets of ratiometric sensors (5 V plus or minus
0.5 V), from memory."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at each signal that follows its supply, or whose pins say 5 V, in every state."""
    for device in assessed.vehicle.devices.values():
        for pin_id, made_for in _supplies(device).items():
            grounds = [s.return_pin for s in device.signals if s.return_pin]
            if not grounds or device.written.fitted != "yes":
                continue
            seen = {
                state: across(solution, pin_id, grounds[0])
                for state, solution in assessed.solved.meter.items()
            }
            state = max(seen, key=lambda s: seen[s], default="")
            volts = seen.get(state, 0.0)
            if LEAST * made_for <= volts <= MOST * made_for:
                continue
            yield Finding(
                RULE,
                "error",
                pin_id,
                say(
                    "{device} is made for {made_for:g} V and has {volts} V at {pin} in '{state}'.",
                    device=device.title,
                    made_for=made_for,
                    volts=decimals(volts, 2),
                    pin=pin_id,
                    state=state,
                ),
                say(
                    "Feed it from the controller's sensor supply of the right voltage; more "
                    "than it is made for destroys it."
                ),
                SOURCE,
                device.where,
            )


def _supplies(device: Device) -> dict[str, float]:
    """Supply pins and the volts they are made for."""
    found: dict[str, float] = {}
    for signal in device.signals:
        output = signal.written.volts
        if signal.supply_pin and output and output.of:
            found[signal.supply_pin] = output.of
    for pin in device.pins:
        volts = re.search(r"\b(\d+(?:\.\d+)?) ?V supply", pin.use)
        if volts and device.kind == "sensor":
            found.setdefault(pin.id, float(volts[1]))
    return found

"""Finds sensors that nothing reads, or that end on the wrong kind of pin."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at, pins_with
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Pin
from buildbook.words.say import say

RULE = "signal-unread"
SEVERITY = "error"
SOURCE = "this description: inputs, drivers, sources and power of the controller"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Look at what the signal pin's circuits join."""
    vehicle = assessed.vehicle
    given = {signal.pin for d in vehicle.devices.values() for signal in d.signals}
    for device in vehicle.devices.values():
        for signal in device.signals:
            circuits = [vehicle.circuits[c] for c in circuits_at(vehicle, signal.pin)]
            pins = [p for c in circuits for p in c.pins if p.device != device.id]
            reads = [p for p in pins if not _other_use(assessed, p)]
            other = [p for p in pins if p.id in given]
            if not circuits or (reads and not other) or signal.written.switch:
                continue
            wrong = next((u for p in pins if (u := _other_use(assessed, p))), "")
            if other and reads:
                wrong = say("{pin} gives a signal on the same wire", pin=other[0].id)
            name = called(device.title, signal.pin)
            yield Finding(
                RULE,
                "error",
                signal.pin,
                say(
                    "The signal of {device} reaches no input of its own: {wrong}.",
                    device=name,
                    wrong=wrong,
                )
                if wrong
                else say("The signal of {device} reaches no input of its own.", device=name),
                _remedy(assessed, signal.pin, signal.return_pin),
                SOURCE,
                circuits[0].where,
            )


def _remedy(assessed: Assessed, pin: str, return_pin: str) -> str:
    """To exchange signal and return, where the return stands on an input."""
    beside = [p for p in pins_with(assessed.vehicle, return_pin) if p != return_pin]
    read = [p for p in beside if not _other_use(assessed, assessed.vehicle.pins[p])]
    if return_pin and read:
        return say(
            "Exchange {pin} and {other}: the return stands on the input {input}.",
            pin=pin,
            other=return_pin,
            input=read[0],
        )
    return say("Join it to the input that the data sheet of the controller names.")


def _other_use(assessed: Assessed, pin: Pin) -> str:
    """What a pin is, where it is no input; anything that draws at a display reads, too."""
    device = assessed.vehicle.devices[pin.device]
    power = device.written.power
    if device.kind == "ground":
        return say("{pin} is a ground stud", pin=pin.id)
    if pin.name in device.written.drivers:
        return say("{pin} is an output", pin=pin.id)
    if pin.name in device.written.sources:
        return say("{pin} is a supply", pin=pin.id)
    if power and (pin.name in power.feeds or pin.name in power.grounds):
        return say("{pin} is a feed or a ground", pin=pin.id)
    if pin.name in device.written.inputs or any(
        load.from_pin == pin.id for load in device.loads if device.kind != "sensor"
    ):
        return ""
    return say("{pin} is no input of {device}", pin=pin.id, device=device.title)

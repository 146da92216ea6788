"""Finds sensors that nothing reads, or that end on the wrong kind of pin."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at, pins_with
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Pin

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
            reads = [p for p in pins if _use(assessed, p) == "input"]
            other = [p for p in pins if p.id in given]
            if not circuits or (reads and not other) or signal.written.switch:
                continue
            wrong = next(
                (f"{p.id} is {u}" for p in pins if (u := _use(assessed, p)) != "input"), ""
            )
            if other and reads:
                wrong = f"{other[0].id} gives a signal on the same wire"
            yield Finding(
                RULE,
                "error",
                signal.pin,
                f"The signal of {called(device.title, signal.pin)} reaches no input of its own"
                f"{': ' + wrong if wrong else ''}.",
                _remedy(assessed, signal.pin, signal.return_pin),
                SOURCE,
                circuits[0].where,
            )


def _remedy(assessed: Assessed, pin: str, return_pin: str) -> str:
    """To exchange signal and return, where the return stands on an input."""
    beside = [p for p in pins_with(assessed.vehicle, return_pin) if p != return_pin]
    read = [p for p in beside if _use(assessed, assessed.vehicle.pins[p]) == "input"]
    if return_pin and read:
        return f"Exchange {pin} and {return_pin}: the return stands on the input {read[0]}."
    return "Join it to the input that the data sheet of the controller names."


def _use(assessed: Assessed, pin: Pin) -> str:
    """What a pin is at a controller or display; anything that draws there reads, too."""
    device = assessed.vehicle.devices[pin.device]
    power = device.written.power
    if device.kind == "ground":
        return "a ground stud"
    if pin.name in device.written.drivers:
        return "an output"
    if pin.name in device.written.sources:
        return "a supply"
    if power and (pin.name in power.feeds or pin.name in power.grounds):
        return "a feed or a ground"
    if pin.name in device.written.inputs or any(
        load.from_pin == pin.id for load in device.loads if device.kind != "sensor"
    ):
        return "input"
    return f"no input of {device.title}"

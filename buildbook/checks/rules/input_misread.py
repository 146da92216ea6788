"""Finds sensors joined to inputs that are made for another kind of sensor."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called, sensed, words
from buildbook.checks.places import where_of_pin
from buildbook.checks.questions import pins_with
from buildbook.checks.stages import Assessed
from buildbook.description import models as written
from buildbook.vehicle.model import Device, Signal
from buildbook.words.say import say

RULE = "input-misread"
SEVERITY = "error"
SOURCE = f"{PRACTICE}: an input with two levels counts edges, one without measures volts"
SAYS = {
    "ntc": {"temperature"},
    "platinum": {"temperature"},
    "thermocouple": {"temperature"},
    "pressure": {"pressure"},
    "hall": {"crank", "cam", "speed", "wheel", "position"},
    "inductive": {"crank", "cam", "speed", "wheel", "pick"},
    "knock": {"knock"},
    "position": {"position", "throttle", "pedal", "travel"},
    "speed": {"speed", "wheel"},
}
"""What a sensor senses -> words that the use of its input has one of."""
WORDS = frozenset().union(*SAYS.values()) - {"pick"}


def check(assessed: Assessed) -> Iterator[Finding]:
    """By what the input is (levels or volts), then by the word that its use has."""
    vehicle = assessed.vehicle
    inputs = {
        f"{device.id}.{name}": (device, given)
        for device in vehicle.devices.values()
        for name, given in device.written.inputs.items()
    }
    for device in vehicle.devices.values():
        for signal in device.signals:
            for pin in pins_with(vehicle, signal.pin):
                if pin not in inputs:
                    continue
                reader, given = inputs[pin]
                why = _digital(signal, given) or _by_use(device, vehicle.pins[pin].use)
                if why:
                    yield _finding(assessed, device, signal, reader, pin, why)


def _finding(
    assessed: Assessed, device: Device, signal: Signal, reader: Device, pin: str, why: str
) -> Finding:
    return Finding(
        RULE,
        "error",
        signal.pin,
        say(
            "{device} is joined to {pin} of {reader}, and {why}: crossed with "
            "another sensor's wire, or the wrong input.",
            device=called(device.title, signal.pin),
            pin=pin,
            reader=reader.title,
            why=why,
        ),
        say(
            "Exchange it at {reader} with the signal that belongs to {pin}, or "
            "correct the input's levels and `use` by the data sheet.",
            reader=reader.id,
            pin=pin,
        ),
        SOURCE,
        where_of_pin(assessed.vehicle, pin),
    )


def _digital(signal: Signal, given: written.Input) -> str:
    """An output that follows what it measures on an input of two levels, and the other way."""
    gives = signal.written
    follows = gives.ntc or gives.platinum or gives.ohms or gives.volts or gives.current
    levels = given.low is not None or given.high is not None
    if follows and levels:
        return say("that input knows but low and high, while the sensor gives all between")
    return ""


def _by_use(device: Device, use: str) -> str:
    """A word of the input's use that belongs to another kind of sensor."""
    senses = device.written.senses
    own = SAYS.get(senses or "")
    said = set(words(use)) & WORDS
    if own and said - own and said & own <= {"position"}:
        return say(
            "that input is for '{use}', while the sensor senses {senses}",
            use=use,
            senses=sensed(senses),
        )
    return ""

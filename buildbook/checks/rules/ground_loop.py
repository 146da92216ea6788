"""Finds screens, sensor returns and grounds of loads that are grounded in two places."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at, is_ground, pins_with
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Circuit, Device, Pin
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "ground-loop"
SEVERITY = "warning"
SUPPLY = frozenset({"battery", "starter", "alternator", "dynamo"})
"""What has a cable as thick as a strap."""
SOURCE = f"{PRACTICE}: between two grounds the starter's and the alternator's volts drive a current"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Follow each screen and each sensor's return to all that grounds it.

    A screen with two ends has a rule of its own; here it may end once and still be grounded twice,
    through what shares its pin.
    """
    vehicle = assessed.vehicle
    returns = {
        circuit: say("The return of {sensor}", sensor=device.title)
        for device in vehicle.devices.values()
        for signal in device.signals
        if not signal.written.switch and not signal.written.current
        for circuit in circuits_at(vehicle, signal.return_pin)
    }
    for circuit in vehicle.circuits.values():
        screen = circuit.is_screen and len(circuit.pins) == 1
        if not screen and circuit.id not in returns:
            yield from _between_studs(assessed, circuit)
            continue
        grounds = sorted(
            {g for pin in _reached(assessed, circuit) if (g := _ground(assessed, pin))}
        )
        if len(grounds) < 2:
            continue
        what = say("The screen of {cable}", cable=circuit.cable) if screen else returns[circuit.id]
        yield Finding(
            RULE,
            "warning",
            circuit.id,
            say(
                "{what} ('{circuit}') is grounded in {n} places: {grounds}. Current flows along "
                "it from one to the other, and the signal moves with it.",
                what=what,
                circuit=circuit.id,
                n=len(grounds),
                grounds=", ".join(grounds),
            ),
            _remedy(assessed, circuit),
            SOURCE,
            circuit.where,
        )


def _remedy(assessed: Assessed, circuit: Circuit) -> str:
    """Which stud goes, where the circuit joins one itself."""
    devices = assessed.vehicle.devices
    studs = [p.device for p in circuit.pins if devices[p.device].kind == "ground"]
    if studs:
        return say(
            "Keep the ground at the controller that reads the sensor, and take the other off: "
            "take {stud} out of '{circuit}'.",
            stud=studs[0],
            circuit=circuit.id,
        )
    return say("Keep the ground at the controller that reads the sensor, and take the other off.")


def _between_studs(assessed: Assessed, circuit: Circuit) -> Iterator[Finding]:
    """A load's ground that ends on two studs joins them with a wire that nobody sized for that."""
    devices = assessed.vehicle.devices
    studs = [devices[p.device] for p in circuit.pins if devices[p.device].kind == "ground"]
    others = [p for p in circuit.pins if devices[p.device].kind != "ground"]
    kinds = {devices[p.device].kind for p in others}
    if len(studs) < 2 or not others or kinds & SUPPLY:
        return
    names = [called(stud.title, stud.id) for stud in studs]
    yield Finding(
        RULE,
        "warning",
        circuit.id,
        say(
            "The ground of {pin} ('{circuit}') ends on both {studs}: where one of them goes bad, "
            "the current of all that is grounded there flows along this wire.",
            pin=others[0].id,
            circuit=circuit.id,
            studs=all_of(names),
        ),
        say(
            "Keep one, and take {stud} out of '{circuit}'; a strap of its own joins studs.",
            stud=studs[-1].id,
            circuit=circuit.id,
        ),
        SOURCE,
        circuit.where,
    )


def _reached(assessed: Assessed, circuit: Circuit) -> list[Pin]:
    """Pins of a circuit, and of the circuits that meet it at a pin that is no ground."""
    vehicle = assessed.vehicle
    near = [p for p in circuit.pins if not _ground(assessed, p)]
    beyond = [vehicle.pins[other] for pin in near for other in pins_with(vehicle, pin.id)]
    return [*circuit.pins, *beyond]


def _ground(assessed: Assessed, pin: Pin) -> str:
    """The stud or controller that grounds at a pin; '' where it does not ground."""
    device = assessed.vehicle.devices[pin.device]
    if device.kind == "ground":
        return called(device.title, device.id)
    if device.kind != "controller":
        return ""
    power = device.written.power
    own = {*(power.grounds if power else ()), *(i.ground for i in device.written.inputs.values())}
    return device.title if pin.name in own and _grounded_beside(assessed, device, pin, own) else ""


def _grounded_beside(
    assessed: Assessed, device: Device, pin: Pin, grounds: Collection[str | None]
) -> bool:
    """Whether a controller is grounded by another circuit than a pin's: else there is no loop."""
    here = circuits_at(assessed.vehicle, pin.id)
    return any(
        is_ground(assessed.vehicle, assessed.vehicle.circuits[circuit])
        for name in grounds
        for circuit in circuits_at(assessed.vehicle, f"{device.id}.{name}")
        if circuit not in here
    )

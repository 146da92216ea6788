"""Finds coils and inductive loads whose switching spike nothing takes up."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import called
from buildbook.checks.questions import circuits_at
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Contact, Device, Load
from buildbook.words.say import say

RULE = "coil-unsuppressed"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: a coil switched off gives a spike of several hundred volts (ISO 7637-2)"
INDUCTIVE = frozenset({"motor", "solenoid", "injector", "horn"})


def check(assessed: Assessed) -> Iterator[Finding]:
    """Relay coils without a diode or resistor, and inductive loads on unprotected drivers."""
    drivers = _drivers(assessed)
    for device in assessed.vehicle.devices.values():
        coil = device.written.coil
        bare_coil = device.kind == "relay" and (coil is None or coil.suppressed == "none")
        if not (bare_coil or device.kind in INDUCTIVE):
            continue
        for load in device.loads:
            found = _driven_by(assessed, load, drivers)
            if any(safe for _, safe in found):
                continue
            if bare_coil:
                yield _coil(device, load)
            elif found:
                yield _load(device, load, found[0][0])


def _drivers(assessed: Assessed) -> dict[str, list[tuple[Contact, bool]]]:
    """Circuit id -> drivers on it, and whether each takes up spikes."""
    found: dict[str, list[tuple[Contact, bool]]] = {}
    for device in assessed.vehicle.devices.values():
        for contact in device.contacts:
            if contact.kind != "driver":
                continue
            pin = contact.id.partition(".")[2]
            written = device.written.drivers.get(pin)
            for circuit in circuits_at(assessed.vehicle, contact.id):
                safe = written is not None and written.suppressed
                found.setdefault(circuit, []).append((contact, safe))
    return found


def _driven_by(
    assessed: Assessed, load: Load, drivers: dict[str, list[tuple[Contact, bool]]]
) -> list[tuple[Contact, bool]]:
    ends = (load.from_pin, load.to_pin)
    circuits = [c for pin in ends for c in circuits_at(assessed.vehicle, pin)]
    return [driver for circuit in circuits for driver in drivers.get(circuit, [])]


def _coil(device: Device, load: Load) -> Finding:
    return Finding(
        RULE,
        "warning",
        load.id,
        say(
            "The coil of {device} has neither diode nor resistor across it: each "
            "time it is switched off its spike burns what switches it.",
            device=called(device.title, device.id),
        ),
        say("Fit a relay with a built-in resistor or diode; mind 85 and 86 with a diode."),
        SOURCE,
        device.where,
    )


def _load(device: Device, load: Load, driver: Contact) -> Finding:
    return Finding(
        RULE,
        "warning",
        load.id,
        say(
            "{device} gives a spike when it is switched off, and output {driver}, "
            "which switches it, is not said to take that up.",
            device=called(device.title, load.id),
            driver=driver.id,
        ),
        say(
            "Put a diode across the load, or write `suppressed: yes` at the output "
            "if its data sheet says so."
        ),
        SOURCE,
        device.where,
    )

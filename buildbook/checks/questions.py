"""Questions about devices and circuits that several rules ask."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.naming import words
from buildbook.vehicle.model import Circuit, Device, Load, Vehicle


def loads(vehicle: Vehicle) -> Iterator[tuple[Device, Load]]:
    """Every load with its device, leaving out devices that are not fitted yet."""
    for device in vehicle.devices.values():
        if device.written.fitted == "yes":
            yield from ((device, load) for load in device.loads)


def cranking_states(vehicle: Vehicle) -> tuple[str, ...]:
    """States in which a starter draws."""
    turning = {s for d in vehicle.all_of("starter") for load in d.loads for s in load.states}
    return tuple(s for s in vehicle.states if s in turning)


def circuits_at(vehicle: Vehicle, pin: str) -> tuple[str, ...]:
    """Circuit ids that join a pin."""
    return vehicle.circuit_of_pin.get(pin, ())


def pins_with(vehicle: Vehicle, pin: str) -> list[str]:
    """Ids of all pins on the circuits that join a pin, itself included."""
    return [p.id for c in circuits_at(vehicle, pin) for p in vehicle.circuits[c].pins]


def is_fuel_pump(device: Device) -> bool:
    """Whether a motor is called a fuel pump."""
    called = set(words(device.id, device.title))
    return device.kind == "motor" and {"fuel", "pump"} <= called


def is_ground(vehicle: Vehicle, circuit: Circuit) -> bool:
    """Whether a circuit ends on a ground stud."""
    return any(vehicle.devices[pin.device].kind == "ground" for pin in circuit.pins)


def is_worked(circuit: Circuit) -> bool:
    """Whether a circuit is meant to work now: neither spare, for later nor a screen."""
    return circuit.written.status == "in use" and not circuit.is_screen

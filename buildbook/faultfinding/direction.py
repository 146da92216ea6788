"""Which loads know plus from minus, and what those do that are the wrong way round."""

from __future__ import annotations

from buildbook.vehicle.model import Device, Load

MAGNETS = "motor"
"""Kind of device whose loads turn the other way; a starter's studs take no other cable."""
SEMICONDUCTOR = ("hall", "pressure")
"""What sensors with an amplifier of their own measure; a resistor, a coil and a thermocouple
give their reading either way round, a coil's with its sign turned."""
IGNITER_PINS = 3
"""An ignition coil with a pin for its trigger has its igniter inside, which is electronics."""


def runs_backwards(device: Device, load: Load) -> bool:
    """Whether it turns the other way when its pins are changed over: a permanent-magnet motor.

    With V = I R + k n a field that stays makes speed take the sign of the volts.
    """
    if device.kind != MAGNETS:
        return False
    law = load.behaviour
    return law.like == "motor" if law else load.duty < 1


def is_one_way(device: Device, load: Load) -> bool:
    """Whether it does nothing with minus where plus belongs: it is electronics."""
    if load.control is not None:
        return True
    if device.kind == "ignition coil":
        return len(device.pins) >= IGNITER_PINS
    if device.kind == "sensor":
        return device.written.senses in SEMICONDUCTOR or _transmits(load)
    return False


def _transmits(load: Load) -> bool:
    return load.behaviour is not None and load.behaviour.like == "transmitter"

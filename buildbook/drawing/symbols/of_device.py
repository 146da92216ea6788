"""Which symbol stands for a device, and for each part inside it."""

from __future__ import annotations

from buildbook.drawing.symbols import loads, supply
from buildbook.drawing.symbols.common import Symbol
from buildbook.drawing.symbols.joints import bond
from buildbook.drawing.symbols.relay import (
    break_contact,
    make_contact,
    relay_coil,
    suppressing_diode,
)
from buildbook.drawing.symbols.sensor import sensor
from buildbook.drawing.symbols.switch import switch
from buildbook.vehicle.model import Bond, Contact, Device, Load

SOURCES = ("battery", "alternator", "dynamo", "magneto", "converter")
"""Kinds that give current; a load inside one is only a side of it."""
SIDE_SHARE = 20.0
"""A load of this many times the least resistance in its device is not what the device is for."""
BY_KIND: dict[str, Symbol] = {
    "battery": supply.battery,
    "alternator": supply.generator,
    "dynamo": supply.generator,
    "magneto": supply.generator,
    "converter": supply.converter,
    "starter": loads.motor,
    "fuse": supply.fuse,
    "switch": loads.lamp,
    "lamp": loads.lamp,
    "motor": loads.motor,
    "solenoid": loads.solenoid,
    "injector": loads.solenoid,
    "ignition coil": loads.ignition_coil,
    "horn": loads.horn,
    "heater": loads.heater,
    "load": loads.resistor,
}
"""Kind of device -> its symbol; a switch has this for the light in it."""


def symbol_of_part(device: Device, part: Load | Contact | Bond) -> Symbol:
    """The symbol of one part inside a device."""
    if isinstance(part, Bond):
        return supply.fuse if part.kind == "fuse" else bond
    if isinstance(part, Contact):
        if part.kind == "relay":
            return break_contact if part.inverted else make_contact
        return make_contact if device.kind == "alternator" else switch
    if device.kind == "relay":
        return relay_coil
    if device.kind in SOURCES:
        return loads.resistor
    if device.kind == "sensor":
        return sensor(device.written.senses)
    if part.ohms > SIDE_SHARE * min(load.ohms for load in device.loads):
        return loads.resistor
    return BY_KIND.get(device.kind, loads.resistor)


def suppressor_symbols(device: Device) -> list[tuple[str, str, str, Symbol]]:
    """What a relay has across its coil: id, the coil's two pins and the symbol."""
    how = device.written.coil.suppressed if device.written.coil else "none"
    if device.kind != "relay" or how == "none":
        return []
    symbol = suppressing_diode if how == "diode" else loads.resistor
    return [(f"{load.id} {how}", load.from_pin, load.to_pin, symbol) for load in device.loads]

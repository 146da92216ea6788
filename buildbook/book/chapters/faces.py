"""Connector faces with pin tables, and the terminals that are not in connectors."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import circuits_at, key_states, readings, wire_row
from buildbook.harness.model import Wire
from buildbook.result import Result
from buildbook.vehicle.model import Pin


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    connectors = [
        (c, drawings.faces.get(c.id), [pin_row(result, pin) for pin in c.pins])
        for c in result.harness.connectors.values()
    ]
    plugged = {pin.id for c in result.harness.connectors.values() for pin in c.pins}
    studs = [
        (device, [pin_row(result, pin) for pin in device.pins if pin.id not in plugged])
        for device in result.vehicle.devices.values()
        if any(pin.id not in plugged for pin in device.pins) and device.kind != "pass-through"
    ]
    context = {"connectors": connectors, "studs": studs, "states": key_states(result)}
    shown = tuple(drawings.faces.values())
    return (Chapter("faces", "Connector faces and terminals", "faces.html", context, shown),)


def pin_row(result: Result, pin: Pin) -> dict:
    """A pin, its wires, circuits and readings."""
    wires: list[Wire] = [result.harness.wires[w] for w in result.harness.wire_at.get(pin.id, ())]
    return {
        "pin": pin,
        "wires": [wire_row(result, wire) for wire in wires],
        "circuits": circuits_at(result, pin) or tuple(dict.fromkeys(w.circuit for w in wires)),
        "bus": any(
            bond.kind == "bus" and pin.id in (bond.from_pin, bond.to_pin)
            for bond in result.vehicle.devices[pin.device].bonds
        ),
        "volts": readings(result, pin.id),
    }

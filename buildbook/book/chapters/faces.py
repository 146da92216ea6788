"""Connector faces with pin tables, and the terminals that are not in connectors."""

from __future__ import annotations

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import circuits_at, key_states, readings, wire_row
from buildbook.harness.model import Wire
from buildbook.parts.device_needs import halves
from buildbook.parts.wire_needs import is_sealed
from buildbook.result import Result
from buildbook.vehicle.model import Connector, Device, Pin

BESIDE_PINS = 4
"""Connectors of so many pins have them as columns of a table beside the face."""
BESIDE_LETTERS = 64
"""Letters that the heads of those columns take side by side."""
FORMS = ("beside", "whole", "long")
WHOLE_PINS = 12
"""Connectors of so many pins are kept on one page."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    every = tuple(result.harness.connectors.values())
    return (faces_of(result, drawings, every, tuple(result.vehicle.devices.values())),)


def of_harness(result: Result, drawings: Drawings, harness: str) -> Chapter:
    """The faces and studs that the wires of one harness go to."""
    wires = [wire for wire in result.harness.wires.values() if wire.harness == harness]
    ends = [end for wire in wires for end in (wire.a, wire.b)]
    plugs = {end.connector for end in ends}
    posts = {end.node.rsplit(".", 1)[0] for end in ends if end.contact and not end.connector}
    connectors = tuple(c for c in result.harness.connectors.values() if c.id in plugs)
    devices = tuple(d for d in result.vehicle.devices.values() if d.id in posts)
    return faces_of(result, drawings, connectors, devices)


def faces_of(
    result: Result,
    drawings: Drawings,
    shown: tuple[Connector, ...],
    devices: tuple[Device, ...],
) -> Chapter:
    """The chapter of some connectors, and of the terminals of some devices that have no plug."""
    connectors = [
        (
            c,
            drawings.faces.get(c.id),
            [pin_row(result, pin, c.id) for pin in c.pins],
            form(c.pins),
            result.unplugged[c.id].states,
        )
        for c in shown
    ]
    connectors.sort(key=lambda row: FORMS.index(row[3]))
    plugged = {pin.id for c in result.harness.connectors.values() for pin in c.pins}
    studs = [
        (device, [pin_row(result, pin) for pin in device.pins if pin.id not in plugged])
        for device in devices
        if any(pin.id not in plugged for pin in device.pins) and device.kind != "pass-through"
    ]
    context = {
        "connectors": connectors,
        "studs": studs,
        "states": key_states(result),
    }
    drawn = tuple(row[1] for row in connectors if row[1])
    return Chapter("faces", "Connector faces and terminals", "faces.html", context, drawn)


def form(pins: tuple[Pin, ...]) -> str:
    """How a connector is set: table beside the face, both on one page, or free to break."""
    letters = len(pins) * max((len(pin.id) for pin in pins), default=0)
    if len(pins) <= BESIDE_PINS and letters <= BESIDE_LETTERS:
        return "beside"
    return "whole" if len(pins) <= WHOLE_PINS else "long"


def circuit_and_use(circuits: tuple[str, ...], use: str) -> str:
    """The circuits, then the pin's use where it says more than they do."""
    said = {word.rstrip("s") for circuit in circuits for word in circuit.lower().split()}
    new = [word for word in use.lower().split() if word.rstrip("s") not in said]
    return " – ".join([*([", ".join(circuits)] if circuits else []), *([use] if new else [])])


def pin_row(result: Result, pin: Pin, connector: str = "") -> dict:
    """A pin, its wires, circuits and readings; of a connector also those while it is off."""
    wires: list[Wire] = [result.harness.wires[w] for w in result.harness.wire_at.get(pin.id, ())]
    circuits = circuits_at(result, pin) or tuple(dict.fromkeys(w.circuit for w in wires))
    return {
        "pin": pin,
        "words": circuit_and_use(circuits, pin.use),
        "fitted": fitted(result, pin, wires),
        "wires": [wire_row(result, wire) for wire in wires],
        "circuits": circuits,
        "bus": any(
            bond.kind == "bus" and pin.id in (bond.from_pin, bond.to_pin)
            for bond in result.vehicle.devices[pin.device].bonds
        ),
        "volts": readings(result, pin.id),
        "off": off_readings(result, pin, connector) if connector else (),
    }


def fitted(result: Result, pin: Pin, wires: list[Wire]) -> str:
    """Terminals on a pin's wires, with the seal where they take one: 'pin-1.5 mate, seal'."""
    ends = [end for wire in wires for end in (wire.a, wire.b) if end.node == pin.id and end.contact]
    mates = {half for half, second in halves(result.vehicle, result.harness) if second}
    named = [
        end.contact
        + (" mate" if end.connector in mates else "")
        + (", seal" if is_sealed(result.harness, end) else "")
        for end in ends
    ]
    return "; ".join(dict.fromkeys(named))


def off_readings(result: Result, pin: Pin, connector: str) -> tuple[float | None, ...]:
    """Volts of a pin's harness side with its connector unplugged; None where it cannot be."""
    found = result.unplugged[connector]
    return tuple(found.volts.get(state, {}).get(pin.id) for state in found.states)

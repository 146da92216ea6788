"""Pins as the book tells of them: wires, circuits, terminals, and what a meter reads there."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.book.shared_rows import WireRow, circuits_at, unique, wire_row
from buildbook.book.shown_states import Elsewhere, elsewhere, same_reading, shown_states
from buildbook.description.expand.kinds import said_use
from buildbook.electrical.reading import Reading
from buildbook.harness.model import Wire
from buildbook.parts.device_needs import halves
from buildbook.parts.wire_needs import is_sealed
from buildbook.result import Result
from buildbook.vehicle.model import Connector, Device, Pin
from buildbook.words.say import say

TEXT_MM = {"A4": 178.0, "Letter": 183.0}
"""Width of the text on an upright page."""


@dataclass(frozen=True)
class PinRow:
    """A pin with its wires, circuits and readings, plugged in and with the connector off."""

    pin: Pin
    words: str
    """Its circuits and use."""
    fitted: str
    """The terminals on its wires."""
    wires: tuple[WireRow, ...]
    bus: bool
    """It is on a bus bar inside its device."""
    plugged_in: tuple[Reading | None, ...]
    """In the states that are shown."""
    elsewhere: tuple[Elsewhere[Reading | None], ...]
    off: tuple[Reading | None, ...]

    @property
    def used(self) -> bool:
        return bool(self.wires or self.words or self.bus)


def pin_rows(result: Result, connector: Connector) -> dict[str, PinRow]:
    """The pins of a connector by their ids."""
    return {pin.id: pin_row(result, pin, connector.id) for pin in connector.pins}


def stud_rows(result: Result, device: Device) -> list[PinRow]:
    """The rows of a device's pins that are in no connector."""
    return [pin_row(result, pin) for pin in stud_pins(result, device)]


def stud_pins(result: Result, device: Device) -> list[Pin]:
    """The pins of a device that are in no connector."""
    if device.kind == "pass-through":
        return []
    plugged = {pin.id for c in result.harness.connectors.values() for pin in c.pins}
    return [pin for pin in device.pins if pin.id not in plugged]


def pin_row(result: Result, pin: Pin, connector: str = "") -> PinRow:
    """A pin, its wires, circuits and readings; of a connector also those while it is off."""
    wires: list[Wire] = [result.harness.wires[w] for w in result.harness.wire_at.get(pin.id, ())]
    circuits = circuits_at(result, pin) or unique(w.circuit for w in wires)

    def there(state: str) -> Reading | None:
        return result.readings[state].at_pin(pin.id)

    return PinRow(
        pin,
        circuit_and_use(circuits, said_use(pin.use)),
        fitted(result, pin, wires),
        tuple(wire_row(result, wire) for wire in wires),
        any(
            bond.kind == "bus" and pin.id in (bond.from_pin, bond.to_pin)
            for bond in result.vehicle.devices[pin.device].bonds
        ),
        tuple(map(there, shown_states(result))),
        elsewhere(result, there, same_reading),
        off_readings(result, pin, connector) if connector else (),
    )


def circuit_and_use(circuits: tuple[str, ...], use: str) -> str:
    """The circuits, then the pin's use where it says more than they do."""
    said = {word.rstrip("s") for circuit in circuits for word in circuit.lower().split()}
    new = [word for word in use.lower().split() if word.rstrip("s") not in said]
    return " – ".join([*([", ".join(circuits)] if circuits else []), *([use] if new else [])])


def fitted(result: Result, pin: Pin, wires: list[Wire]) -> str:
    """Terminals on a pin's wires, with the seal where they take one: 'pin-1.5 mate, seal'."""
    ends = [end for wire in wires for end in (wire.a, wire.b) if end.node == pin.id and end.contact]
    mates = {half for half, second in halves(result.vehicle, result.harness) if second}
    named = []
    for end in ends:
        is_mate = end.connector in mates
        contact = say("{contact} mate", contact=end.contact) if is_mate else end.contact
        sealed = is_sealed(result.harness, end)
        named.append(say("{contact}, seal", contact=contact) if sealed else contact)
    return "; ".join(unique(named))


def off_readings(result: Result, pin: Pin, connector: str) -> tuple[Reading | None, ...]:
    """What a pin's harness side reads with its connector unplugged; None where it cannot be."""
    found = result.unplugged[connector]
    return tuple(found.readings.get(state, {}).get(pin.id) for state in found.states)

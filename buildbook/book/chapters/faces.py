"""Connector faces with pin tables, and the terminals that are not in connectors."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.shared_rows import (
    WireRow,
    circuits_at,
    pin_readings,
    state_columns,
    unique,
    wire_row,
)
from buildbook.drawing.shared.lettering import text_width_mm
from buildbook.drawing.shared.model import Drawing
from buildbook.electrical.reading import Reading
from buildbook.harness.model import Wire
from buildbook.parts.device_needs import halves
from buildbook.parts.wire_needs import is_sealed
from buildbook.result import Result
from buildbook.vehicle.model import Connector, Device, Pin

BESIDE_PINS = 4
"""Connectors of so many pins have them as columns of a table beside the face."""
BESIDE_LETTERS = 64
"""Letters that the heads of those columns take side by side."""
TEXT_MM = {"A4": 178.0, "Letter": 183.0}
"""Width of the text on an upright page."""
PINS_FONT_MM = 2.7
"""Of the tables of pins: 7.6 pt."""
BESIDE_MM = 2.5
"""Between two columns."""
LEAST_PIN_SHARE, MOST_PIN_SHARE, PIN_AND_CIRCUIT_SHARE = 12.0, 19.0, 27.7
GAP_MM = 4.0
"""Between a face and the table beside it."""
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


@dataclass(frozen=True)
class PinRow:
    """A pin with its wires, circuits and readings, plugged in and with the connector off."""

    pin: Pin
    words: str
    """Its circuits and use."""
    fitted: str
    """The terminals on its wires."""
    wires: tuple[WireRow, ...]
    circuits: tuple[str, ...]
    bus: bool
    """It is on a bus bar inside its device."""
    plugged_in: tuple[tuple[Reading | None, ...], ...]
    """In every state, in the columns of the states."""
    off: tuple[Reading | None, ...]

    @property
    def columns(self) -> int:
        """Columns of readings, plugged in and with the connector off."""
        return len(self.plugged_in) + len(self.off)

    @property
    def used(self) -> bool:
        return bool(self.wires or self.circuits or self.bus)

    @property
    def last_words(self) -> str:
        """What follows several wires: where they are of one circuit, that too."""
        return self.words if len(self.circuits) < 2 else self.pin.use


@dataclass(frozen=True)
class ConnectorRows:
    """A connector with its face and its pins; `form` says how they are set."""

    connector: Connector
    face: Drawing | None
    pins: tuple[PinRow, ...]
    form: str
    off_states: tuple[str, ...]
    """States in which it is told what the pins read with the connector unplugged."""
    table_mm: float
    """Width that a table beside the face has."""

    @property
    def columns(self) -> int:
        """Columns of its table: pin, wire, colour, size, circuit, then the readings."""
        return 5 + (self.pins[0].columns if self.pins else 0)

    @property
    def shares(self) -> list[float]:
        """Percent of the table's width for pin, wire, colour, size and circuit: a long name of a
        pin takes from its circuit, which may break."""
        longest = max((row.pin.id for row in self.pins), key=len, default="")
        wide_mm = text_width_mm(longest, PINS_FONT_MM) + BESIDE_MM
        pin = min(max(LEAST_PIN_SHARE, 100 * wide_mm / TEXT_MM["A4"]), MOST_PIN_SHARE)
        return [round(pin, 1), 4.7, 6.3, 7.8, round(PIN_AND_CIRCUIT_SHARE - pin, 1)]

    @property
    def by_terminal(self) -> list[tuple[str, list[PinRow]]]:
        """The used pins in order, under the terminals on them: '' where those go on, or none."""
        found: list[tuple[str, list[PinRow]]] = []
        last = ""
        for row in self.pins:
            if row.fitted and row.fitted != last:
                last = row.fitted
                found.append((last, []))
            elif not found:
                found.append(("", []))
            if row.used:
                found[-1][1].append(row)
        return found

    @property
    def unused(self) -> tuple[str, ...]:
        return tuple(row.pin.id for row in self.pins if not row.used)


def faces_of(
    result: Result,
    drawings: Drawings,
    shown: tuple[Connector, ...],
    devices: tuple[Device, ...],
) -> Chapter:
    """The chapter of some connectors, and of the terminals of some devices that have no plug."""
    connectors = [connector_rows(result, c, drawings.first("faces", c.id)) for c in shown]
    connectors.sort(key=lambda row: FORMS.index(row.form))
    plugged = {pin.id for c in result.harness.connectors.values() for pin in c.pins}
    studs = [
        (device, [pin_row(result, pin) for pin in device.pins if pin.id not in plugged])
        for device in devices
        if any(pin.id not in plugged for pin in device.pins) and device.kind != "pass-through"
    ]
    context = {
        "connectors": connectors,
        "studs": studs,
        "states": state_columns(result.vehicle.states),
    }
    drawn = tuple(row.face for row in connectors if row.face)
    return Chapter("faces", "Connector faces and terminals", "faces.html", context, drawn)


def connector_rows(result: Result, connector: Connector, face: Drawing | None) -> ConnectorRows:
    text_mm = TEXT_MM[result.vehicle.description.vehicle.paper]
    return ConnectorRows(
        connector,
        face,
        tuple(pin_row(result, pin, connector.id) for pin in connector.pins),
        form(connector.pins),
        result.unplugged[connector.id].states,
        text_mm - (face.width_mm + GAP_MM if face else 0),
    )


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


def pin_row(result: Result, pin: Pin, connector: str = "") -> PinRow:
    """A pin, its wires, circuits and readings; of a connector also those while it is off."""
    wires: list[Wire] = [result.harness.wires[w] for w in result.harness.wire_at.get(pin.id, ())]
    circuits = circuits_at(result, pin) or unique(w.circuit for w in wires)
    return PinRow(
        pin,
        circuit_and_use(circuits, pin.use),
        fitted(result, pin, wires),
        tuple(wire_row(result, wire) for wire in wires),
        circuits,
        any(
            bond.kind == "bus" and pin.id in (bond.from_pin, bond.to_pin)
            for bond in result.vehicle.devices[pin.device].bonds
        ),
        pin_readings(result, pin.id),
        off_readings(result, pin, connector) if connector else (),
    )


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
    return "; ".join(unique(named))


def off_readings(result: Result, pin: Pin, connector: str) -> tuple[Reading | None, ...]:
    """What a pin's harness side reads with its connector unplugged; None where it cannot be."""
    found = result.unplugged[connector]
    return tuple(found.readings.get(state, {}).get(pin.id) for state in found.states)

"""The facts of everything that can be looked up, as rows: the script makes cards of them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from buildbook.book.chapters.troubleshooting import fuse_row
from buildbook.book.fault_wording import place, probe_place
from buildbook.book.formats import (
    amps,
    ohms_range,
    plain,
    unit_words,
    volts,
    volts_range,
)
from buildbook.book.sensor_wording import DescribedSensor, described_sensors
from buildbook.book.shared_rows import circuits_at, unique
from buildbook.description.expand.kinds import CONTEXT, said_use
from buildbook.figures import estimated, squared
from buildbook.harness.model import End, Splice, Wire
from buildbook.phone.meter import MeterWords
from buildbook.phone.words import colour_row, device_place, end_row, point_words
from buildbook.result import Result
from buildbook.vehicle.model import Circuit, Connector, Device, Load, Pin
from buildbook.words.say import say

Row = dict[str, Any]
"""What stands in a card; a key that would be empty is left out."""


def filled(row: Row) -> Row:
    """The row without what is empty."""
    return {key: value for key, value in row.items() if value or type(value) in (int, float)}


class Cards:
    """The rows of one vehicle, by kind and id."""

    def __init__(self, result: Result, meter: MeterWords) -> None:
        self._result, self._meter = result, meter
        self._fuses_of: dict[str, list[str]] = {}
        for fuse in result.sizing.fuses.values():
            for load in fuse.feeds:
                self._fuses_of.setdefault(load, []).append(fuse.fuse)

    def every(self) -> dict[str, dict[str, Row]]:
        """Kind -> id -> row."""
        harness, vehicle = self._result.harness, self._result.vehicle
        return {
            "wire": {id_: self.wire(wire) for id_, wire in harness.wires.items()},
            "pin": self.pins(),
            "device": {id_: self.device(device) for id_, device in vehicle.devices.items()},
            "plug": {id_: self.plug(plug) for id_, plug in harness.connectors.items()},
            "splice": {id_: self.splice(splice) for id_, splice in harness.splices.items()},
            "circuit": {id_: self.circuit(circuit) for id_, circuit in vehicle.circuits.items()},
        }

    def wire(self, wire: Wire) -> Row:
        """A wire: colour, size, fuse, both ends with what they read, what is joined to it."""
        size = self._result.sizing.wires.get(wire.id)
        circuit = self._result.vehicle.circuits[wire.circuit]
        units = self._result.vehicle.measures
        return filled(
            colour_row(wire.colour)
            | {
                "circuit": wire.circuit,
                "system": circuit.system,
                "size": squared(size.label) if size else "",
                "carries": f"{amps(size.current_a)} ({size.state})" if size else "",
                "fuse": size.fuse if size else "",
                "bare": size is not None and not size.fuse,
                "harness": wire.harness,
                "cable": wire.cable,
                "cut": estimated(f"{units.cut(wire.cut_m)} {units.short}", wire.is_estimate),
                "ends": [self._end(end) for end in (wire.a, wire.b)],
                "along": [point.replace("-", " ") for point in wire.points],
                "joined": unique(self._joined(wire)),
            }
        )

    def _end(self, end: End) -> Row:
        return filled(end_row(self._result, end) | {"reads": self._at(end.node)})

    def _joined(self, wire: Wire) -> Iterable[str]:
        """Wires on the same terminals and splices, and those that go on through a pass-through."""
        for end in (wire.a, wire.b):
            if end.kind == "pin" or end.kind == "splice":
                there = self._result.harness.wire_at.get(end.node, ())
                yield from (other for other in there if other != wire.id)
        for passing in self._result.harness.pass_pins:
            if wire.id in passing.wires.values():
                yield from (other for other in passing.wires.values() if other != wire.id)

    def _at(self, node: str) -> list[int]:
        """What a meter shows at a pin, a half or a splice in every state."""
        readings, pins = self._result.readings, self._result.vehicle.pins
        return self._meter.of(
            readings[state].at_pin(node) if node in pins else readings[state].at(node)
            for state in self._result.vehicle.states
        )

    def pins(self) -> dict[str, Row]:
        """Every pin of a device, and both halves of the pass-throughs."""
        vehicle, harness = self._result.vehicle, self._result.harness
        found = {pin.id: self.pin(pin, "") for pin in vehicle.pins.values()}
        for connector in harness.connectors.values():
            for pin in connector.pins:
                found[pin.id] = self.pin(pin, connector.id)
        return found

    def pin(self, pin: Pin, plug: str) -> Row:
        """A pin: what it is for, its wires, what it reads plugged in and unplugged."""
        result = self._result
        wires = [result.harness.wires[id_] for id_ in result.harness.wire_at.get(pin.id, ())]
        device = result.vehicle.devices[pin.device]
        off = result.unplugged.get(plug)
        apart = (
            {
                state: self._meter.of([off.readings.get(state, {}).get(pin.id)])[0]
                for state in off.states
            }
            if off and wires
            else {}
        )
        return filled(
            {
                "says": place(pin.id),
                "device": pin.device,
                "name": pin.name,
                "use": said_use(pin.use),
                "probe": probe_place(result, pin.id) if wires else "",
                "plug": plug,
                "cavity": pin.cavity,
                "place": device_place(result, device),
                "wires": [wire.id for wire in wires],
                "circuits": circuits_at(result, pin) or unique(w.circuit for w in wires),
                "inside": self._inside(device, pin),
                "reads": self._at(pin.id),
                "off": {state: words for state, words in apart.items() if words},
                "unused": pin.unused,
            }
        )

    def _inside(self, device: Device, pin: Pin) -> list[str]:
        """Pins of the same device that a load, a contact or a bond joins to this one."""
        ends = [(load.from_pin, load.to_pin) for load in device.loads]
        ends += [(contact.from_pin, contact.to_pin) for contact in device.contacts]
        ends += [(bond.from_pin, bond.to_pin) for bond in device.bonds]
        others = [b if a == pin.id else a for a, b in ends if pin.id in (a, b)]
        return [id_ for id_ in unique(others) if id_ in self._result.vehicle.pins]

    def device(self, device: Device) -> Row:
        """A device: where it is, its pins, what feeds it; of a fuse what hangs on it."""
        written, called = device.written, say(device.kind, context=CONTEXT)
        return filled(
            {
                "title": device.title,
                "kind": device.kind,
                "is": "" if called == device.kind else called,
                "system": device.system,
                "place": device_place(self._result, device),
                "pins": [pin.id for pin in device.pins],
                "plugs": [c.id for c in device.connectors],
                "caution": written.caution or "",
                "draws": [self._load(load) for load in device.loads if load.rated_a],
                "fuses": unique(f for load in device.loads for f in self._fuses(load)),
                "part": written.part or "",
                "later": written.fitted == "later",
                "sensor": [_sensor(x) for x in described_sensors(self._result, {device.id})],
                **(self._fuse(device) if device.kind == "fuse" else {}),
            }
        )

    def _load(self, load: Load) -> str:
        return f"{load.what or load.id}: {amps(load.rated_a)}"

    def _fuses(self, load: Load) -> list[str]:
        return self._fuses_of.get(load.id, [])

    def _fuse(self, fuse: Device) -> Row:
        """Rating, body colour, load, bus bar, and what dies with it."""
        _, sizing, dies = fuse_row(self._result, fuse)
        row: Row = {"bus": fuse.written.bus or "", "dies": dies, "panel": fuse.panel}
        if sizing is None:
            return row
        devices = self._result.vehicle.devices
        fed = unique(load.partition(".")[0] for load in sizing.feeds)
        return row | {
            "rating": f"{plain(sizing.rating_a)} A",
            "body": say(sizing.colour) if sizing.colour else "",
            "load": f"{amps(sizing.load_a)} ({sizing.state})",
            "feeds": [name for name in fed if name in devices],
        }

    def plug(self, connector: Connector) -> Row:
        """A connector: its type, where it is, its pins by cavity."""
        return filled(
            {
                "title": connector.title,
                "type": connector.plug_type,
                "device": connector.device,
                "harness": connector.harness,
                "place": point_words(self._result, connector.point),
                "pins": {pin.cavity or pin.name: pin.id for pin in connector.pins},
            }
        )

    def splice(self, splice: Splice) -> Row:
        """A splice: where along the rope, its wires, what it reads."""
        offset = self._result.vehicle.measures.along(abs(1000 * splice.offset_m))
        return filled(
            {
                "circuit": splice.circuit,
                "harness": splice.harness,
                "place": point_words(self._result, splice.point),
                "offset": offset if splice.offset_m else "",
                "wires": list(splice.wires),
                "reads": self._at(splice.id),
            }
        )

    def circuit(self, circuit: Circuit) -> Row:
        """A circuit: what shares one potential."""
        wires = self._result.harness.wires.values()
        return filled(
            {
                "number": circuit.number,
                "system": circuit.system,
                "about": circuit.written.about,
                "status": "" if circuit.written.status == "in use" else say(circuit.written.status),
                "pins": [pin.id for pin in circuit.pins],
                "wires": [wire.id for wire in wires if wire.circuit == circuit.id],
            }
        )


def _sensor(sensor: DescribedSensor) -> Row:
    """What a sensor gives in each condition, and where the meter goes."""
    table = sensor.table
    return {
        "title": sensor.title,
        "at": table.meter_pin,
        "state": table.state,
        "rows": [
            [
                unit_words(row.when),
                ohms_range(row.ohms),
                f"{volts(row.volts.nominal)} {say('AC')}"
                if row.alternating and row.volts
                else volts_range(row.volts),
            ]
            for row in table.rows
        ],
    }

"""A harness as it would be built now, in the words of what is kept of one that was built."""

from __future__ import annotations

from buildbook.as_built.model import AsBuilt, BuiltCircuit, BuiltSplice, BuiltWire
from buildbook.description.quantities import WireSize
from buildbook.figures import whole_mm
from buildbook.harness.as_built import recorded_end
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Circuit, Vehicle


def as_built_now(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> AsBuilt:
    """A harness as it would be built now, circuits by number, lengths in whole mm."""
    circuits = sorted(vehicle.circuits.values(), key=lambda c: (c.number, c.id))
    return AsBuilt(
        revision=vehicle.description.vehicle.revision,
        date=vehicle.description.vehicle.date,
        circuits={c.id: _circuit(c, harness, sizing) for c in circuits},
    )


def _circuit(circuit: Circuit, harness: Harness, sizing: Sizing) -> BuiltCircuit:
    pins: dict[str, list[str]] = {}
    for pair in harness.pass_pins:
        if pair.circuit == circuit.id:
            pins.setdefault(pair.device, []).append(pair.cavity)
    wires = [wire for wire in harness.wires.values() if wire.circuit == circuit.id]
    splices = [splice for splice in harness.splices.values() if splice.circuit == circuit.id]
    return BuiltCircuit.model_construct(
        number=circuit.number,
        colour=wires[0].colour,
        pins=pins,
        splices={
            s.id: BuiltSplice.model_construct(
                harness=s.harness, at=s.point, run=s.run or None, offset=round(s.offset_m, 3)
            )
            for s in splices
        },
        wires={
            wire.id: BuiltWire.model_construct(
                harness=wire.harness,
                from_=recorded_end(wire.a),
                to=recorded_end(wire.b),
                family=sizing.wires[wire.id].family,
                size=WireSize(sizing.wires[wire.id].label, sizing.wires[wire.id].area_mm2),
                length=whole_mm(wire.cut_m) / 1000,
            )
            for wire in wires
        },
    )

"""The record of what was built: made from a result, compared with the last, and as YAML text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import yaml

from buildbook.description.quantities import WireSize
from buildbook.description.record import BuiltCircuit, BuiltSplice, BuiltWire, Record
from buildbook.harness.as_built import SAME_M, end_name
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Circuit, Vehicle

HEAD = """\
# What the harnesses were built with. `buildbook record` writes this file; later runs keep what
# it says, so that no label, colour, contact or splice changes under a helper's hands.
# A length or size that came out differently on the bench may be corrected here.
"""


@dataclass(frozen=True)
class Alteration:
    """What the description would alter of one circuit in a harness that exists."""

    circuit: str
    kind: str
    """'removed', 'changed', or 'added'."""
    what: tuple[str, ...]
    """One phrase for each thing that differs."""


def record_of(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> Record:
    """The record of a harness as it is laid out now, circuits by number, lengths in whole mm."""
    circuits = sorted(vehicle.circuits.values(), key=lambda c: (c.number, c.id))
    return Record(
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
                from_=end_name(wire.a),
                to=end_name(wire.b),
                family=sizing.wires[wire.id].family,
                size=WireSize(sizing.wires[wire.id].label, sizing.wires[wire.id].area_mm2),
                length=round(wire.cut_m, 3),
            )
            for wire in wires
        },
    )


def alterations(old: Record, new: Record) -> tuple[Alteration, ...]:
    """What stands between a harness as built and as it would be built now, by number."""
    found = []
    for name, built in old.circuits.items():
        if name not in new.circuits:
            what = (f"{_listed('wire', built.wires)} to be taken out",)
            found.append((built.number, Alteration(name, "removed", what)))
        elif what := tuple(_changes(built, new.circuits[name])):
            found.append((built.number, Alteration(name, "changed", what)))
    for name, circuit in new.circuits.items():
        if name not in old.circuits:
            what = (f"{_listed('wire', circuit.wires)} to be laid in",)
            found.append((circuit.number, Alteration(name, "added", what)))
    return tuple(alteration for _, alteration in sorted(found, key=lambda f: (f[0], f[1].circuit)))


def _listed(noun: str, ids: Iterable[str]) -> str:
    named = list(ids)
    return f"{noun}{'s' if len(named) > 1 else ''} {', '.join(named)}"


def _changes(old: BuiltCircuit, new: BuiltCircuit) -> list[str]:
    """Phrases for one circuit: its colour, contacts, splices and wires."""
    found = []
    if old.colour != new.colour:
        found.append(f"colour {old.colour} becomes {new.colour}")
    for device in dict.fromkeys([*old.pins, *new.pins]):
        was, now = old.pins.get(device, []), new.pins.get(device, [])
        if was != now:
            found.append(
                f"contact {', '.join(was) or 'none'} of {device} becomes {', '.join(now) or 'none'}"
            )
    for id_ in dict.fromkeys([*old.splices, *new.splices]):
        found += _splice_changes(id_, old.splices.get(id_), new.splices.get(id_))
    gone = [id_ for id_ in old.wires if id_ not in new.wires]
    come = [id_ for id_ in new.wires if id_ not in old.wires]
    found += [f"{_listed('wire', gone)} to be taken out"] if gone else []
    found += [f"{_listed('wire', come)} to be laid in"] if come else []
    for id_, wire in old.wires.items():
        if id_ in new.wires:
            found += _wire_changes(id_, wire, new.wires[id_])
    return found


def _splice_changes(id_: str, old: BuiltSplice | None, new: BuiltSplice | None) -> list[str]:
    if old is None:
        return [f"splice {id_} to be made at {new.at}"] if new else []
    if new is None:
        return [f"splice {id_} at {old.at} to be undone"]
    if (old.harness, old.at) != (new.harness, new.at):
        return [f"splice {id_} moves from {old.at} to {new.at}"]
    if old.run != new.run or abs(old.offset - new.offset) > SAME_M:
        return [f"splice {id_} moves along {new.run or 'the rope'} at {new.at}"]
    return []


def _wire_changes(id_: str, old: BuiltWire, new: BuiltWire) -> list[str]:
    found = []
    if (old.harness, {old.from_, old.to}) != (new.harness, {new.from_, new.to}):
        found.append(f"wire {id_} goes from {new.from_} to {new.to}")
    if (old.family, old.size.label) != (new.family, new.size.label):
        found.append(f"wire {id_} of {old.size.label} becomes {new.size.label}")
    if abs(old.length - new.length) > SAME_M:
        found.append(
            f"wire {id_} of {old.length * 1000:.0f} mm no longer reaches: "
            f"{new.length * 1000:.0f} mm to be cut"
        )
    return found


def record_text(record: Record) -> str:
    """The record as the text of `as-built.yaml`: the same record gives the same bytes."""
    data = {
        "revision": record.revision,
        **({"date": record.date} if record.date else {}),
        "circuits": {name: _written(circuit) for name, circuit in record.circuits.items()},
    }
    text = yaml.safe_dump(
        data, sort_keys=False, allow_unicode=True, default_flow_style=None, width=1000
    )
    return HEAD + text


def _written(circuit: BuiltCircuit) -> dict[str, object]:
    made: dict[str, object] = {"number": circuit.number, "colour": circuit.colour}
    if circuit.pins:
        made["pins"] = {device: list(cavities) for device, cavities in circuit.pins.items()}
    if circuit.splices:
        made["splices"] = {
            id_: {"harness": s.harness, "at": s.at}
            | ({"run": s.run} if s.run else {})
            | ({"offset": _mm(s.offset)} if s.offset else {})
            for id_, s in circuit.splices.items()
        }
    made["wires"] = {
        id_: {
            "harness": wire.harness,
            "from": wire.from_,
            "to": wire.to,
            "family": wire.family,
            "size": wire.size.label,
            "length": _mm(wire.length),
        }
        for id_, wire in circuit.wires.items()
    }
    return made


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.0f} mm"

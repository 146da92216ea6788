"""What is new or changed in a harness that exists: all that a helper has to touch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildbook.as_built.compare import alterations
from buildbook.as_built.model import CAP, AsBuilt, BuiltWire
from buildbook.bench.model import Rework
from buildbook.bench.on_bench import HarnessOnBench
from buildbook.harness.model import End
from buildbook.harness.wires import pin_ends
from buildbook.sizing.as_built import as_built_now
from buildbook.vehicle.model import Vehicle


def rework(bench: HarnessOnBench) -> Rework | None:
    """The rework of a harness that was recorded; None where none of its wires was."""
    old = bench.vehicle.as_built
    if old is None:
        return None
    built = {
        id_: wire
        for circuit in old.circuits.values()
        for id_, wire in circuit.wires.items()
        if wire.harness == bench.name
    }
    if not built:
        return None
    now = {wire.id: wire for wire in bench.wires}
    new = tuple(wire for wire in now if wire not in built)
    gone = tuple(wire for wire in built if wire not in now)
    circuits = {wire.circuit for wire in bench.wires} | {
        name for name, circuit in old.circuits.items() if set(circuit.wires) & built.keys()
    }
    found = alterations(old, as_built_now(bench.vehicle, bench.harness, bench.sizing))
    changed = tuple(
        (one.circuit, phrases)
        for one in found
        if one.circuit in circuits and one.kind == "changed"
        if (phrases := tuple(p for p in one.what if p not in one.wires))
    )
    ends = [end for wire in new for end in (now[wire].a, now[wire].b)]
    plugs = [end.connector or end.node for end in ends if end.kind in ("pin", "half")]
    plugs += _taken_out_of(bench.vehicle, old, [built[wire] for wire in gone])
    splices = [end.node for end in ends if end.kind == "splice"]
    runs = [run for wire in new for run in now[wire].runs]
    return Rework(
        old.revision,
        new,
        gone,
        changed,
        tuple(dict.fromkeys(plugs)),
        tuple(dict.fromkeys(splices)),
        tuple(dict.fromkeys(runs)),
        len(now) - len(new),
    )


def _taken_out_of(vehicle: Vehicle, old: AsBuilt, gone: Iterable[BuiltWire]) -> list[str]:
    """The plugs and studs that recorded wires end in."""
    pins = pin_ends(vehicle)
    covered = {CAP, *(splice for circuit in old.circuits.values() for splice in circuit.splices)}
    ends = [end for wire in gone for end in (wire.from_, wire.to)]
    return [_opened(end, pins) for end in ends if end not in covered]


def _opened(end: str, pins: Mapping[str, End]) -> str:
    """The plug or stud of a recorded end; its device where that pin is described no more."""
    if end in pins:
        return pins[end].connector or end
    contact, slash, half = end.partition("/")
    return f"{contact.rpartition('.')[0] or contact}{slash}{half}"

"""What the record of a built harness says about the wires that are being laid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import count

from buildbook.description.record import BuiltCircuit, BuiltSplice, Record
from buildbook.harness.model import Addend, End, Harness, Wire
from buildbook.harness.numbering import letters, splice_ids, wire_ids
from buildbook.vehicle.model import Circuit

CAP = "cap"
"""What the record calls an insulated end."""
SPARED = ("loop", "cut back", "estimated", "not fitted")
"""Addends that a wire can do without: it still reaches."""
SAME_M = 0.0006
"""Lengths that the record does not tell apart: it holds whole millimetres, so half of one."""


def end_name(end: End) -> str:
    """What the record calls an end."""
    return CAP if end.kind == "capped" else end.node


def built_circuit(record: Record | None, circuit: str) -> BuiltCircuit | None:
    """The circuit as it was built, or None where it is new."""
    return record.circuits.get(circuit) if record else None


def built_splices(
    built: BuiltCircuit | None, harness: str, points: Sequence[str], ends: Sequence[End]
) -> dict[str, BuiltSplice]:
    """Splices that a circuit has in a harness at some of these points, by id.

    Those that its built wires join to `ends`, wherever they lie; all where none is joined: a
    circuit may come into a harness twice, and what is joined to one piece is no other's.
    """
    if built is None:
        return {}
    here = {
        name: splice
        for name, splice in built.splices.items()
        if splice.harness == harness and splice.at in points
    }
    joined = _joined_to(built, harness, ends)
    return {name: splice for name, splice in here.items() if name in joined} or here


def _joined_to(built: BuiltCircuit, harness: str, ends: Sequence[End]) -> set[str]:
    """Names of everything that the built wires of a circuit in a harness join to `ends`."""
    wires = [{wire.from_, wire.to} for wire in built.wires.values() if wire.harness == harness]
    found = {end_name(end) for end in ends}
    while more := set().union(*(wire for wire in wires if wire & found)) - found:
        found |= more
    return found


def _more(number: int, taken: Sequence[str], mark: str) -> Iterator[str]:
    """Lettered ids that a circuit has not used yet."""
    ids = (f"{mark}{number}{letters(at)}" for at in count())
    return (id_ for id_ in ids if id_ not in taken)


def name_wires(
    circuit: Circuit, built: BuiltCircuit | None, ends: Sequence[tuple[str, End, End]]
) -> list[str]:
    """An id for each wire, given as (harness, one end, other end): its own if it has one.

    A new wire of a circuit that was built takes the next free letter, so that no label that is
    on a wire is ever given to another.
    """
    if built is None:
        return list(wire_ids(circuit.number, len(ends)))
    waiting: dict[tuple[str, str, str], list[str]] = {}
    for id_, wire in built.wires.items():
        waiting.setdefault((wire.harness, wire.from_, wire.to), []).append(id_)
    more = _more(circuit.number, tuple(built.wires), "")
    found = []
    for harness, a, b in ends:
        kept = waiting.get((harness, end_name(a), end_name(b))) or waiting.get(
            (harness, end_name(b), end_name(a))
        )
        found.append(kept.pop(0) if kept else next(more))
    return found


def name_splices(
    circuit: Circuit, built: BuiltCircuit | None, places: Sequence[tuple[str, str]]
) -> list[str]:
    """An id for each splice, given as (harness, point): its own if it has one."""
    if built is None or not built.splices:
        return list(splice_ids(circuit.number, len(places))) if places else []
    waiting: dict[tuple[str, str], list[str]] = {}
    for id_, splice in built.splices.items():
        waiting.setdefault((splice.harness, splice.at), []).append(id_)
    more = _more(circuit.number, tuple(built.splices), "S")
    found = []
    for place in places:
        kept = waiting.get(place)
        found.append(kept.pop(0) if kept else next(more))
    return found


def reaches(wire: Wire, built_m: float) -> bool:
    """Whether a wire of a length in m still goes from end to end, as it would be laid today."""
    least = sum(part.length_m for part in wire.addends if part.kind not in SPARED)
    return not wire.runs or built_m >= least - SAME_M


def as_built(wire: Wire, built: BuiltCircuit | None) -> Wire:
    """The wire with the size and length that it was built with.

    A length that no longer reaches is not kept: a new wire has to be cut.
    """
    old = built.wires.get(wire.id) if built else None
    if old is None:
        return wire
    now = tuple(part for part in wire.addends if part.kind != "as built")
    wire = replace(wire, family=old.family, built_size=old.size, addends=now)
    if not reaches(wire, old.length) or abs(old.length - wire.cut_m) < SAME_M:
        return wire
    change = Addend("as built", old.length - wire.cut_m, "as built")
    return replace(wire, addends=(*now, change))


def keep_built(record: Record | None, harness: Harness) -> Harness:
    """The harness with every wire that exists as it was built, whatever would be cut today."""
    if record is None:
        return harness
    wires = {
        id_: as_built(wire, built_circuit(record, wire.circuit))
        for id_, wire in harness.wires.items()
    }
    return replace(harness, wires=wires)

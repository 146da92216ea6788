"""Wires as they were built: their size and length stay, whatever would be cut today."""

from __future__ import annotations

from dataclasses import replace
from math import fsum

from buildbook.as_built.look_up import built_circuit
from buildbook.as_built.model import CAP, SAME_M, AsBuilt, BuiltCircuit
from buildbook.harness.model import Addend, End, Harness, Wire

SPARED = ("loop", "cut back", "estimated", "not fitted", "cable")
"""Addends that a wire can do without: it still reaches."""


def recorded_end(end: End) -> str:
    """What `as-built.yaml` calls an end."""
    return CAP if end.kind == "capped" else end.node


def reaches(wire: Wire, built_m: float) -> bool:
    """Whether a wire of a length in m still goes from end to end, as it would be laid today."""
    least = fsum(part.length_m for part in wire.addends if part.kind not in SPARED)
    return wire.is_guessed or built_m >= least - SAME_M


def wire_as_built(wire: Wire, built: BuiltCircuit | None) -> Wire:
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


def harness_as_built(as_built: AsBuilt | None, harness: Harness) -> Harness:
    """The harness with every wire that exists as it was built, whatever would be cut today."""
    if as_built is None:
        return harness
    wires = {
        id_: wire_as_built(wire, built_circuit(as_built, wire.circuit))
        for id_, wire in harness.wires.items()
    }
    return replace(harness, wires=wires)

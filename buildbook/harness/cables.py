"""Which wires lie together as one piece of cable, and how thick it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.lay_up import Strand
from buildbook.harness.model import Addend, Wire
from buildbook.vehicle.model import Vehicle

SHIELD_MM = 0.3
"""What a braid adds to the diameter of the cores in it (memory)."""
WITH_CABLE = "cable"
"""Kind of what a core is cut longer because another core of its cable is."""
JACKET_MM = 0.8
"""What the jacket of a shielded cable adds to its diameter (memory)."""


def cable_pieces(wires: Iterable[Wire]) -> tuple[tuple[Wire, ...], ...]:
    """Wires in groups that are one piece each: single wires, and the cores of a cable together.

    A piece of cable holds one wire of each circuit at most. Cores that run the same way belong
    together first; those that end apart from each other join a piece that lacks their circuit.
    """
    alone: dict[object, list[Wire]] = {}
    for wire in wires:
        key = (wire.cable, frozenset(wire.runs)) if wire.cable else wire.id
        same = alone.setdefault(key, [])
        if wire.cable and any(other.circuit == wire.circuit for other in same):
            alone[wire.id] = [wire]
        else:
            same.append(wire)
    pieces: list[list[Wire]] = []
    for group in alone.values():
        home = next((piece for piece in pieces if _joins(piece, group)), None)
        if home is None:
            pieces.append(list(group))
        else:
            home.extend(group)
    return tuple(tuple(piece) for piece in pieces)


def named_pieces(wires: Iterable[Wire]) -> dict[str, tuple[Wire, ...]]:
    """Every length of cable of a vehicle, by the cable's name; numbered where it has several."""
    pieces = cable_pieces(wire for wire in wires if wire.cable)
    several = Counter(piece[0].cable for piece in pieces)
    so_far: Counter[str] = Counter()
    found = {}
    for piece in pieces:
        cable = piece[0].cable
        so_far[cable] += 1
        found[f"{cable}-{so_far[cable]}" if several[cable] > 1 else cable] = piece
    return found


def even_cores(wires: Mapping[str, Wire]) -> dict[str, Wire]:
    """The wires with every core as long as its piece of cable, which is cut as one.

    Cores that end apart from the longest are trimmed to their own way.
    """
    bare = {
        id_: replace(wire, addends=tuple(a for a in wire.addends if a.kind != WITH_CABLE))
        for id_, wire in wires.items()
    }
    found = dict(bare)
    for piece in cable_pieces(wire for wire in bare.values() if wire.cable):
        longest = max(piece, key=lambda core: core.cut_m)
        for core in piece:
            more = longest.cut_m - core.cut_m
            if more > 1e-9 and set(core.runs) == set(longest.runs):
                part = Addend("as long as its cable", more, WITH_CABLE)
                found[core.id] = replace(core, addends=(*core.addends, part))
    return found


def _joins(piece: list[Wire], group: list[Wire]) -> bool:
    """Whether cores lie in a cable's piece: same cable and harness, circuits that it lacks."""
    one, other = piece[0], group[0]
    if not one.cable or (one.cable, one.harness) != (other.cable, other.harness):
        return False
    shared = {run for wire in piece for run in wire.runs} & {r for w in group for r in w.runs}
    circuits = {wire.circuit for wire in piece}
    return bool(shared) and not circuits & {wire.circuit for wire in group}


def cable_types(vehicle: Vehicle) -> dict[str, str]:
    """Cable name -> 'twisted pair', 'shielded', …"""
    return {name: cable.type for name, cable in vehicle.description.cables.items()}


def strands(
    wires: Sequence[Wire], outside_mm: Mapping[str, float], types: Mapping[str, str]
) -> tuple[Strand, ...]:
    """What is laid as one: single wires, and the wires of a cable together.

    `outside_mm` is each wire's outside diameter; `types` the type of each cable.
    """
    return tuple(
        Strand(
            tuple(wire.id for wire in piece),
            cable_mm(types.get(piece[0].cable, ""), [outside_mm[wire.id] for wire in piece]),
        )
        for piece in cable_pieces(wires)
    )


def cable_mm(type_: str, cores_mm: Sequence[float]) -> float:
    """Outside diameter of a cable: its cores packed, and round them a shield and a jacket."""
    added = SHIELD_MM + JACKET_MM if type_.startswith("shielded") else 0.0
    return bundle_diameter_mm(cores_mm) + added

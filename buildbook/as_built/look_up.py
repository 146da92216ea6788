"""What each step asks of what was built: numbers, colours, contacts, splices."""

from __future__ import annotations

from collections.abc import Collection

import networkx as nx

from buildbook.as_built.model import AsBuilt, BuiltCircuit, BuiltSplice


def built_circuit(as_built: AsBuilt | None, circuit: str) -> BuiltCircuit | None:
    """The circuit as it was built, or None where it is new."""
    return as_built.circuits.get(circuit) if as_built else None


def built_numbers(as_built: AsBuilt | None) -> dict[str, int]:
    """Circuit id -> the number that its wires are labelled with."""
    return {id_: c.number for id_, c in as_built.circuits.items()} if as_built else {}


def built_colours(as_built: AsBuilt | None) -> dict[str, str]:
    """Circuit id -> the colour that it was laid in."""
    return {id_: c.colour for id_, c in as_built.circuits.items()} if as_built else {}


def built_wires(as_built: AsBuilt | None) -> frozenset[str]:
    """Ids of all wires that exist."""
    circuits = as_built.circuits.values() if as_built else ()
    return frozenset(wire for circuit in circuits for wire in circuit.wires)


def built_contacts(as_built: AsBuilt | None, pass_through: str) -> list[tuple[str, str]]:
    """Contacts of a pass-through, each with the id of the circuit that it carries."""
    return [
        (contact, id_)
        for id_, circuit in (as_built.circuits.items() if as_built else ())
        for contact in circuit.pins.get(pass_through, ())
    ]


def built_splices(
    built: BuiltCircuit | None, harness: str, points: Collection[str], ends: Collection[str]
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


def _joined_to(built: BuiltCircuit, harness: str, ends: Collection[str]) -> set[str]:
    """Names of everything that the built wires of a circuit in a harness join to `ends`."""
    found = set(ends)
    wires = nx.Graph((w.from_, w.to) for w in built.wires.values() if w.harness == harness)
    for joined in nx.connected_components(wires):
        if joined & found:
            found |= joined
    return found

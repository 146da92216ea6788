"""Numbers of wires and splices: the circuit's number and a letter, those given before first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count

from buildbook.as_built.model import BuiltCircuit
from buildbook.harness.as_built import recorded_end
from buildbook.harness.model import End
from buildbook.vehicle.model import Circuit

ALPHABET = "abcdefghjkmnpqrstuvwxyz"
"""Without i, l and o, which are read as figures: IEC 81346-2 leaves I and O out of its codes for
that (from memory), and a small l is common practice, no source."""


def letters(at: int) -> str:
    """0 -> 'a', 22 -> 'z', 23 -> 'aa'."""
    text = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, len(ALPHABET))
        text = ALPHABET[rest] + text
    return text


def wire_ids(number: int, wires: int) -> tuple[str, ...]:
    """'204' for one wire, '204a', '204b', … for several."""
    if wires == 1:
        return (str(number),)
    return tuple(f"{number}{letters(at)}" for at in range(wires))


def splice_ids(number: int, splices: int) -> tuple[str, ...]:
    """'S204' for one splice, 'S204a', 'S204b', … for several."""
    return tuple(f"S{wire}" for wire in wire_ids(number, splices))


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
        own = waiting.get((harness, recorded_end(a), recorded_end(b))) or waiting.get(
            (harness, recorded_end(b), recorded_end(a))
        )
        found.append(own.pop(0) if own else next(more))
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
        own = waiting.get(place)
        found.append(own.pop(0) if own else next(more))
    return found


def _more(number: int, taken: Sequence[str], mark: str) -> Iterator[str]:
    """Lettered ids that a circuit has not used yet."""
    ids = (f"{mark}{number}{letters(at)}" for at in count())
    return (id_ for id_ in ids if id_ not in taken)

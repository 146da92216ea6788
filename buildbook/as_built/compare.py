"""What stands between a harness as it was built and as it would be built now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.as_built.model import SAME_M, AsBuilt, BuiltCircuit, BuiltSplice, BuiltWire


@dataclass(frozen=True)
class Alteration:
    """What the description would alter of one circuit in a harness that exists."""

    circuit: str
    kind: str
    """'removed', 'changed', or 'added'."""
    what: tuple[str, ...]
    """One phrase for each thing that differs."""
    wires: tuple[str, ...]
    """Of these, the phrases of wires that come and go."""


def alterations(old: AsBuilt, new: AsBuilt) -> tuple[Alteration, ...]:
    """What stands between a harness as built and as it would be built now, by number."""
    found: list[tuple[int, Alteration]] = []
    for name, built in old.circuits.items():
        if name not in new.circuits:
            gone = f"{_listed('wire', built.wires)} to be taken out"
            found.append((built.number, Alteration(name, "removed", (gone,), (gone,))))
        elif changes := tuple(_changes(built, new.circuits[name])):
            wires = tuple(_coming_and_going(built, new.circuits[name]))
            found.append((built.number, Alteration(name, "changed", changes, wires)))
    for name, circuit in new.circuits.items():
        if name not in old.circuits:
            come = f"{_listed('wire', circuit.wires)} to be laid in"
            found.append((circuit.number, Alteration(name, "added", (come,), (come,))))
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
    found += _coming_and_going(old, new)
    for id_, wire in old.wires.items():
        if id_ in new.wires:
            found += _wire_changes(id_, wire, new.wires[id_])
    return found


def _coming_and_going(old: BuiltCircuit, new: BuiltCircuit) -> list[str]:
    gone = [id_ for id_ in old.wires if id_ not in new.wires]
    come = [id_ for id_ in new.wires if id_ not in old.wires]
    found = [f"{_listed('wire', gone)} to be taken out"] if gone else []
    return [*found, f"{_listed('wire', come)} to be laid in"] if come else found


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

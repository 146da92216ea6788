"""What stands between a harness as it was built and as it would be built now."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from buildbook.as_built.model import SAME_M, AsBuilt, BuiltCircuit, BuiltSplice, BuiltWire
from buildbook.words.say import in_figures, say, say_n


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
            gone = _taken_out(built.wires)
            found.append((built.number, Alteration(name, "removed", (gone,), (gone,))))
        elif changes := tuple(_changes(built, new.circuits[name])):
            wires = tuple(_coming_and_going(built, new.circuits[name]))
            found.append((built.number, Alteration(name, "changed", changes, wires)))
    for name, circuit in new.circuits.items():
        if name not in old.circuits:
            come = _laid_in(circuit.wires)
            found.append((circuit.number, Alteration(name, "added", (come,), (come,))))
    return tuple(alteration for _, alteration in sorted(found, key=lambda f: (f[0], f[1].circuit)))


def _taken_out(ids: Collection[str]) -> str:
    named = ", ".join(ids)
    return say_n("wire {ids} to be taken out", "wires {ids} to be taken out", len(ids), ids=named)


def _laid_in(ids: Collection[str]) -> str:
    named = ", ".join(ids)
    return say_n("wire {ids} to be laid in", "wires {ids} to be laid in", len(ids), ids=named)


def _changes(old: BuiltCircuit, new: BuiltCircuit) -> list[str]:
    """Phrases for one circuit: its colour, contacts, splices and wires."""
    found = []
    if old.colour != new.colour:
        found.append(say("colour {old} becomes {new}", old=old.colour, new=new.colour))
    for device in dict.fromkeys([*old.pins, *new.pins]):
        was, now = old.pins.get(device, []), new.pins.get(device, [])
        if was != now:
            found.append(
                say(
                    "contact {old} of {device} becomes {new}",
                    old=", ".join(was) or say("none", context="contact"),
                    device=device,
                    new=", ".join(now) or say("none", context="contact"),
                )
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
    found = [_taken_out(gone)] if gone else []
    return [*found, _laid_in(come)] if come else found


def _splice_changes(id_: str, old: BuiltSplice | None, new: BuiltSplice | None) -> list[str]:
    if old is None:
        return (
            [say("splice {splice} to be made at {point}", splice=id_, point=new.at)] if new else []
        )
    if new is None:
        return [say("splice {splice} at {point} to be undone", splice=id_, point=old.at)]
    if (old.harness, old.at) != (new.harness, new.at):
        return [
            say("splice {splice} moves from {old} to {new}", splice=id_, old=old.at, new=new.at)
        ]
    if old.run != new.run or abs(old.offset - new.offset) > SAME_M:
        if new.run:
            return [
                say(
                    "splice {splice} moves along {run} at {point}",
                    splice=id_,
                    run=new.run,
                    point=new.at,
                )
            ]
        return [say("splice {splice} moves along the rope at {point}", splice=id_, point=new.at)]
    return []


def _wire_changes(id_: str, old: BuiltWire, new: BuiltWire) -> list[str]:
    found = []
    if (old.harness, {old.from_, old.to}) != (new.harness, {new.from_, new.to}):
        found.append(
            say("wire {wire} goes from {one} to {other}", wire=id_, one=new.from_, other=new.to)
        )
    if (old.family, old.size.label) != (new.family, new.size.label):
        found.append(
            say(
                "wire {wire} of {old} becomes {new}",
                wire=id_,
                old=in_figures(old.size.label),
                new=in_figures(new.size.label),
            )
        )
    if abs(old.length - new.length) > SAME_M:
        found.append(
            say(
                "wire {wire} of {old_mm:.0f} mm no longer reaches: {new_mm:.0f} mm to be cut",
                wire=id_,
                old_mm=old.length * 1000,
                new_mm=new.length * 1000,
            )
        )
    return found

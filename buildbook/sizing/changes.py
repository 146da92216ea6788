"""What became of what somebody acts on from one state of a vehicle to another, in words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from buildbook.issued.model import Facts, IssuedDevice, IssuedWire

Ends = tuple[str, frozenset[str]]
"""A wire by its circuit and the nodes at its ends: numbers shift when a circuit is added."""


def changes(before: Facts, now: Facts) -> tuple[str, ...]:
    """A line for each wire, splice, fuse and device that is new, gone or otherwise.

    In the order of now, lengths in millimetres.
    """
    return (
        *_of_wires(before, now),
        *_of_splices(before, now),
        *_of_fuses(before, now),
        *_of_devices(before, now),
    )


def _of_wires(before: Facts, now: Facts) -> Iterator[str]:
    old, new = _by_ends(before), _by_ends(now)
    for ends, (id_, wire) in new.items():
        if ends not in old:
            yield f"wire {id_} is new: {_ends_words(wire)}, {', '.join(_shown(wire))}"
            continue
        was_id, was = old[ends]
        pairs = zip(_shown(wire), _shown(was), strict=True)
        altered = [f"{fact}, was {earlier}" for fact, earlier in pairs if fact != earlier]
        if altered:
            number = "" if id_ == was_id else f" (was {was_id})"
            yield f"wire {id_}{number} now {'; '.join(altered)}"
        elif id_ != was_id:
            yield f"wire {id_} was {was_id}"
    for ends, (id_, wire) in old.items():
        if ends not in new:
            yield f"wire {id_} is gone: {_ends_words(wire)}"


def _by_ends(facts: Facts) -> dict[Ends, tuple[str, IssuedWire]]:
    return {(w.circuit, frozenset((w.from_, w.to))): (id_, w) for id_, w in facts.wires.items()}


def _ends_words(wire: IssuedWire) -> str:
    return f"{wire.from_} to {wire.to}"


def _shown(wire: IssuedWire) -> tuple[str, str, str]:
    """Size, cut length and colour."""
    return wire.size, wire.length, wire.colour


def _of_splices(before: Facts, now: Facts) -> Iterator[str]:
    old, new = _by_circuit(before), _by_circuit(now)
    for key, (id_, at) in new.items():
        if key not in old:
            yield f"splice {id_} is new, at {at}"
        elif old[key] != (id_, at):
            was_id, was_at = old[key]
            number = "" if id_ == was_id else f" (was {was_id})"
            place = "" if at == was_at else f" now at {at}, was at {was_at}"
            yield f"splice {id_}{number}{place}"
    yield from (f"splice {id_} is gone, at {at}" for k, (id_, at) in old.items() if k not in new)


def _by_circuit(facts: Facts) -> dict[tuple[str, str, int], tuple[str, str]]:
    """Splices by circuit, harness and their place among those of both."""
    found = {}
    counts: defaultdict[tuple[str, str], int] = defaultdict(int)
    for id_, splice in facts.splices.items():
        both = splice.circuit, splice.harness
        found[*both, counts[both]] = id_, splice.at
        counts[both] += 1
    return found


def _of_fuses(before: Facts, now: Facts) -> Iterator[str]:
    old, new = before.fuses, now.fuses
    for name, rating in new.items():
        if name not in old:
            yield f"fuse {name} is new: {rating}"
        elif rating != old[name]:
            yield f"fuse {name} now {rating}, was {old[name]}"
    yield from (f"fuse {name} is gone" for name in old if name not in new)


def _of_devices(before: Facts, now: Facts) -> Iterator[str]:
    """Devices; a fuse with a rating is told of among the fuses where it is new or gone."""
    old, new = before.devices, now.devices
    for name, device in new.items():
        if name not in old:
            if name not in now.fuses:
                yield f"device {name} is new: {device.title}, at {device.at}"
        elif altered := [*_altered(old[name], device)]:
            yield f"device {name} now {'; '.join(altered)}"
    yield from (f"device {n} is gone" for n in old if n not in new and n not in before.fuses)


def _altered(was: IssuedDevice, device: IssuedDevice) -> Iterator[str]:
    if device.title != was.title:
        yield f"“{device.title}”, was “{was.title}”"
    if device.at != was.at:
        yield f"at {device.at}, was at {was.at}"
    if device.part != was.part:
        yield f"part {device.part or 'none'}, was {was.part or 'none'}"
